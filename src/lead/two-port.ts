import { type Complex, complex, minus, over, plus, scaled, times } from '../cable/complex.ts'
import type { Abcd } from '../cable/line-constants.ts'
import { determinant, diagonal, difference, inverse, type Matrix, product, sum } from './matrix.ts'

/**
 * One frequency of a two-port in its usual forms (D. A. Frickey, "Conversions between S, Z, Y, h, ABCD, and T parameters",
 * IEEE Trans. MTT 42 (1994) 205-211; from memory, checked by round trips and by an independent line). Reference
 * impedances are real, one for each port.
 */

const ONE = diagonal(1, 1)

/** Transfer matrix with b1 = T11·a2 + T12·b2, a1 = T21·a2 + T22·b2: two-ports in a row are multiplied. S21 must not be nought. */
export function transferOf(s: Matrix): Matrix {
  return [
    scaled(over(determinant(s), s[2]), -1),
    over(s[0], s[2]),
    scaled(over(s[3], s[2]), -1),
    over(complex(1), s[2]),
  ]
}

export function scatteringOfTransfer(t: Matrix): Matrix {
  return [over(t[1], t[3]), over(determinant(t), t[3]), over(complex(1), t[3]), scaled(over(t[2], t[3]), -1)]
}

/** Two two-ports in a row; the second port of the first and the first port of the second have one reference impedance. */
export function inARow(first: Matrix, second: Matrix): Matrix {
  return scatteringOfTransfer(product(transferOf(first), transferOf(second)))
}

/** What is left when a known two-port is taken off the first port. */
export function withoutFirst(whole: Matrix, first: Matrix): Matrix {
  return scatteringOfTransfer(product(inverse(transferOf(first)), transferOf(whole)))
}

/** What is left when a known two-port is taken off the second port. */
export function withoutLast(whole: Matrix, last: Matrix): Matrix {
  return scatteringOfTransfer(product(transferOf(whole), inverse(transferOf(last))))
}

/** S from ABCD between two real reference impedances, power waves. */
export function scatteringOfAbcd({ a, b, c, d }: Abcd, z1: number, z2: number): Matrix {
  const one = scaled(a, z2)
  const four = scaled(d, z1)
  const three = scaled(c, z1 * z2)
  const whole = plus(plus(one, b), plus(three, four))
  const root = 2 * Math.sqrt(z1 * z2)
  const area = minus(times(a, d), times(b, c))
  return [
    over(minus(plus(one, b), plus(three, four)), whole),
    over(scaled(area, root), whole),
    over(complex(root), whole),
    over(minus(plus(b, four), plus(one, three)), whole),
  ]
}

/** ABCD from S; S21 must not be nought. */
export function abcdOfScattering(s: Matrix, z1: number, z2: number): Abcd {
  const [s11, s12, s21, s22] = s
  const both = times(s12, s21)
  const under = scaled(s21, 2 * Math.sqrt(z1 * z2))
  const less = (x: Complex): Complex => minus(complex(1), x)
  const more = (x: Complex): Complex => plus(complex(1), x)
  return {
    a: over(scaled(plus(times(more(s11), less(s22)), both), z1), under),
    b: over(scaled(minus(times(more(s11), more(s22)), both), z1 * z2), under),
    c: over(minus(times(less(s11), less(s22)), both), under),
    d: over(scaled(plus(times(less(s11), more(s22)), both), z2), under),
  }
}

/** S from impedances in ohm: √(1/R)·(Z − R)·(Z + R)⁻¹·√R. */
export function scatteringOfImpedance(z: Matrix, z1: number, z2: number): Matrix {
  const reference = diagonal(z1, z2)
  const inner = product(difference(z, reference), inverse(sum(z, reference)))
  return product(product(diagonal(z1 ** -0.5, z2 ** -0.5), inner), diagonal(z1 ** 0.5, z2 ** 0.5))
}

/** S from admittances in siemens: √R·(1/R − Y)·(1/R + Y)⁻¹·√(1/R). */
export function scatteringOfAdmittance(y: Matrix, z1: number, z2: number): Matrix {
  const reference = diagonal(1 / z1, 1 / z2)
  const inner = product(difference(reference, y), inverse(sum(reference, y)))
  return product(product(diagonal(z1 ** 0.5, z2 ** 0.5), inner), diagonal(z1 ** -0.5, z2 ** -0.5))
}

/**
 * The same two-port between other reference impedances: S' = K·(S − Γ)·(1 − Γ·S)⁻¹·K⁻¹ with Γ = (Z' − Z)/(Z' + Z) and
 * K = (Z + Z')/(2·√(Z·Z')) on the diagonals; it follows from the definition of the power waves and works for any S.
 */
export function renormalised(s: Matrix, from: readonly number[], to: readonly number[]): Matrix {
  const [z1, z2] = [from[0]!, from[1]!]
  const [y1, y2] = [to[0]!, to[1]!]
  if (z1 === y1 && z2 === y2) return s
  const gamma = diagonal((y1 - z1) / (y1 + z1), (y2 - z2) / (y2 + z2))
  const k1 = (z1 + y1) / (2 * Math.sqrt(z1 * y1))
  const k2 = (z2 + y2) / (2 * Math.sqrt(z2 * y2))
  const inner = product(difference(s, gamma), inverse(difference(ONE, product(gamma, s))))
  return product(product(diagonal(k1, k2), inner), diagonal(1 / k1, 1 / k2))
}
