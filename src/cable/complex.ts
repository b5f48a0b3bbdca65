/** A complex number. Plain objects: the hot loops over whole sweeps work on typed arrays instead. */
export interface Complex {
  re: number
  im: number
}

export const complex = (re: number, im = 0): Complex => ({ re, im })

export const plus = (a: Complex, b: Complex): Complex => ({ re: a.re + b.re, im: a.im + b.im })

export const minus = (a: Complex, b: Complex): Complex => ({ re: a.re - b.re, im: a.im - b.im })

export const times = (a: Complex, b: Complex): Complex => ({
  re: a.re * b.re - a.im * b.im,
  im: a.re * b.im + a.im * b.re,
})

export const scaled = (a: Complex, by: number): Complex => ({ re: a.re * by, im: a.im * by })

export function over(a: Complex, b: Complex): Complex {
  const square = b.re * b.re + b.im * b.im
  return { re: (a.re * b.re + a.im * b.im) / square, im: (a.im * b.re - a.re * b.im) / square }
}

export const modulus = (a: Complex): number => Math.hypot(a.re, a.im)

/** The root with real part not below nought: the one of a wave that dies away. */
export function squareRoot(a: Complex): Complex {
  const size = modulus(a)
  const re = Math.sqrt((size + a.re) / 2)
  const im = Math.sqrt(Math.max(0, size - a.re) / 2)
  // the difference above loses its digits where the number lies near the positive real axis
  const exact = re > 0 ? a.im / (2 * re) : im
  return { re, im: exact }
}

export const hyperbolicSine = (a: Complex): Complex => ({
  re: Math.sinh(a.re) * Math.cos(a.im),
  im: Math.cosh(a.re) * Math.sin(a.im),
})

export const hyperbolicCosine = (a: Complex): Complex => ({
  re: Math.cosh(a.re) * Math.cos(a.im),
  im: Math.sinh(a.re) * Math.sin(a.im),
})
