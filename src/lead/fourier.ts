/**
 * Discrete Fourier transform of a power of two, in place on separate real and imaginary parts (radix 2, decimation in time;
 * Cooley and Tukey, Math. Comp. 19 (1965) 297-301). `sign` +1 sums with e^(+j2πnk/N), −1 with e^(−j2πnk/N); neither divides by N.
 * Written here because a pure room takes no package.
 */
export function fourier(re: Float64Array, im: Float64Array, sign: 1 | -1): void {
  const n = re.length
  if (n !== im.length || (n & (n - 1)) !== 0) throw new Error('a Fourier transform of no power of two')
  reorder(re, im)
  const cos = new Float64Array(n / 2)
  const sin = new Float64Array(n / 2)
  for (let k = 0; k < n / 2; k++) {
    cos[k] = Math.cos((2 * Math.PI * k) / n)
    sin[k] = sign * Math.sin((2 * Math.PI * k) / n)
  }
  for (let half = 1; half < n; half *= 2) {
    const stride = n / (2 * half)
    for (let start = 0; start < n; start += 2 * half)
      for (let k = 0; k < half; k++) {
        const low = start + k
        const high = low + half
        const c = cos[k * stride]!
        const s = sin[k * stride]!
        const turnedRe = re[high]! * c - im[high]! * s
        const turnedIm = re[high]! * s + im[high]! * c
        re[high] = re[low]! - turnedRe
        im[high] = im[low]! - turnedIm
        re[low] = re[low]! + turnedRe
        im[low] = im[low]! + turnedIm
      }
  }
}

/** Bit reversal. */
function reorder(re: Float64Array, im: Float64Array): void {
  const n = re.length
  for (let i = 1, j = 0; i < n; i++) {
    let bit = n >> 1
    for (; j & bit; bit >>= 1) j ^= bit
    j ^= bit
    if (i >= j) continue
    const keptRe = re[i]!
    const keptIm = im[i]!
    re[i] = re[j]!
    im[i] = im[j]!
    re[j] = keptRe
    im[j] = keptIm
  }
}

/** The next power of two that is not below n. */
export function powerOfTwo(n: number): number {
  return 2 ** Math.ceil(Math.log2(Math.max(2, n)))
}
