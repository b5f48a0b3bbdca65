/** The inverse of a (n × n, by rows, destroyed) into b, by Gauss and Jordan with row exchange. False when a is singular. */
export function invert(a: Float64Array, b: Float64Array, n: number): boolean {
  b.fill(0)
  for (let i = 0; i < n; i++) b[i * n + i] = 1
  for (let c = 0; c < n; c++) {
    let p = c
    for (let i = c + 1; i < n; i++) if (Math.abs(a[i * n + c]!) > Math.abs(a[p * n + c]!)) p = i
    if (Math.abs(a[p * n + c]!) < 1e-11) return false
    swapRows(a, n, c, p)
    swapRows(b, n, c, p)
    const divisor = a[c * n + c]!
    for (let k = 0; k < n; k++) {
      a[c * n + k] = a[c * n + k]! / divisor
      b[c * n + k] = b[c * n + k]! / divisor
    }
    for (let i = 0; i < n; i++) {
      const f = a[i * n + c]!
      if (i === c || f === 0) continue
      for (let k = c; k < n; k++) a[i * n + k] = a[i * n + k]! - f * a[c * n + k]!
      for (let k = 0; k < n; k++) b[i * n + k] = b[i * n + k]! - f * b[c * n + k]!
    }
  }
  return true
}

function swapRows(a: Float64Array, n: number, i: number, j: number): void {
  if (i === j) return
  for (let k = 0; k < n; k++) {
    const kept = a[i * n + k]!
    a[i * n + k] = a[j * n + k]!
    a[j * n + k] = kept
  }
}
