import { type Complex, minus, over, plus, scaled, times } from '../cable/complex.ts'

/** A 2×2 matrix of complex numbers, row by row: scattering, transfer, chain, impedance or admittance by context. */
export type Matrix = readonly [Complex, Complex, Complex, Complex]

export function product(m: Matrix, n: Matrix): Matrix {
  return [
    plus(times(m[0], n[0]), times(m[1], n[2])),
    plus(times(m[0], n[1]), times(m[1], n[3])),
    plus(times(m[2], n[0]), times(m[3], n[2])),
    plus(times(m[2], n[1]), times(m[3], n[3])),
  ]
}

export function determinant(m: Matrix): Complex {
  return minus(times(m[0], m[3]), times(m[1], m[2]))
}

export function inverse(m: Matrix): Matrix {
  const whole = determinant(m)
  return [over(m[3], whole), over(scaled(m[1], -1), whole), over(scaled(m[2], -1), whole), over(m[0], whole)]
}

export function sum(m: Matrix, n: Matrix): Matrix {
  return [plus(m[0], n[0]), plus(m[1], n[1]), plus(m[2], n[2]), plus(m[3], n[3])]
}

export function difference(m: Matrix, n: Matrix): Matrix {
  return [minus(m[0], n[0]), minus(m[1], n[1]), minus(m[2], n[2]), minus(m[3], n[3])]
}

/** A matrix with real numbers on its diagonal and nought beside it. */
export function diagonal(first: number, second: number): Matrix {
  const nought = { re: 0, im: 0 }
  return [{ re: first, im: 0 }, nought, nought, { re: second, im: 0 }]
}
