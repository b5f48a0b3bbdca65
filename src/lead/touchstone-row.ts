import { type Complex, complex, over, scaled } from '../cable/complex.ts'
import { inverse, type Matrix, product } from './matrix.ts'
import type { TouchstoneOption } from './touchstone-option.ts'
import { scatteringOfAdmittance, scatteringOfImpedance } from './two-port.ts'

/** How the numbers of one frequency are to be read. */
export interface RowForm {
  ports: 1 | 2
  option: TouchstoneOption
  /** Reference impedance of each port, ohm. */
  zRefOhm: number[]
  /** Version 1 divides impedances and admittances by the reference of the option line; version 2 does not. */
  normalised: boolean
  /** Which matrix elements are given, in order: 11 12 21 22 as 0 1 2 3. */
  order: readonly number[]
}

/** Order of a two-port's elements by version, data order and matrix format (Touchstone specification). */
export const ORDER = {
  onePort: [0],
  '21_12': [0, 2, 1, 3],
  '12_21': [0, 1, 2, 3],
  lower: [0, 2, 3],
  upper: [0, 1, 3],
} as const

/** The scattering matrix of one frequency from its pairs of numbers; a one-port answers one element. */
export function scatteringOfRow(form: RowForm, numbers: ArrayLike<number>): Complex[] {
  const given: (Complex | undefined)[] = [undefined, undefined, undefined, undefined]
  form.order.forEach((element, k) => {
    given[element] = pair(form.option.format, numbers[1 + 2 * k]!, numbers[2 + 2 * k]!)
  })
  if (form.ports === 1) return [onePort(form, given[0]!)]
  const across = given[1] ?? given[2]!
  const back = given[2] ?? given[1]!
  return [...twoPort(form, [given[0]!, across, back, given[3]!])]
}

function pair(format: TouchstoneOption['format'], first: number, second: number): Complex {
  if (format === 'RI') return { re: first, im: second }
  const size = format === 'DB' ? 10 ** (first / 20) : first
  const angle = (second * Math.PI) / 180
  return { re: size * Math.cos(angle), im: size * Math.sin(angle) }
}

function onePort({ option, zRefOhm, normalised }: RowForm, value: Complex): Complex {
  if (option.parameter === 'S') return value
  const z = zRefOhm[0]!
  const relative =
    option.parameter === 'Z' ? scaled(value, normalised ? 1 : 1 / z) : scaled(value, normalised ? 1 : z)
  const less = complex(relative.re - 1, relative.im)
  const more = complex(relative.re + 1, relative.im)
  return option.parameter === 'Z' ? over(less, more) : scaled(over(less, more), -1)
}

function twoPort({ option, zRefOhm, normalised }: RowForm, m: Matrix): Matrix {
  const [z1, z2] = [zRefOhm[0]!, zRefOhm[1]!]
  const r = normalised ? option.referenceOhm : 1
  const each = (by: number): Matrix => [
    scaled(m[0], by),
    scaled(m[1], by),
    scaled(m[2], by),
    scaled(m[3], by),
  ]
  switch (option.parameter) {
    case 'S':
      return m
    case 'Z':
      return scatteringOfImpedance(each(r), z1, z2)
    case 'Y':
      return scatteringOfAdmittance(each(1 / r), z1, z2)
    case 'H':
      return scatteringOfHybrid([scaled(m[0], r), m[1], m[2], scaled(m[3], 1 / r)], z1, z2)
    case 'G':
      return scatteringOfInverseHybrid([scaled(m[0], 1 / r), m[1], m[2], scaled(m[3], r)], z1, z2)
  }
}

/**
 * V1 = h11·I1 + h12·V2, I2 = h21·I1 + h22·V2 with V = √Z·(a + b) and I = (a − b)/√Z gives P·a + Q·b = 0, so S = −Q⁻¹·P.
 * Written out rather than by way of impedances, which need not exist.
 */
function scatteringOfHybrid([h11, h12, h21, h22]: Matrix, z1: number, z2: number): Matrix {
  const [r1, r2] = [Math.sqrt(z1), Math.sqrt(z2)]
  const p: Matrix = [
    plusReal(scaled(h11, -1 / r1), r1),
    scaled(h12, -r2),
    scaled(h21, -1 / r1),
    plusReal(scaled(h22, -r2), 1 / r2),
  ]
  const q: Matrix = [
    plusReal(scaled(h11, 1 / r1), r1),
    scaled(h12, -r2),
    scaled(h21, 1 / r1),
    plusReal(scaled(h22, -r2), -1 / r2),
  ]
  return negative(product(inverse(q), p))
}

/** I1 = g11·V1 + g12·I2, V2 = g21·V1 + g22·I2, in the same way. */
function scatteringOfInverseHybrid([g11, g12, g21, g22]: Matrix, z1: number, z2: number): Matrix {
  const [r1, r2] = [Math.sqrt(z1), Math.sqrt(z2)]
  const p: Matrix = [
    plusReal(scaled(g11, -r1), 1 / r1),
    scaled(g12, -1 / r2),
    scaled(g21, -r1),
    plusReal(scaled(g22, -1 / r2), r2),
  ]
  const q: Matrix = [
    plusReal(scaled(g11, -r1), -1 / r1),
    scaled(g12, 1 / r2),
    scaled(g21, -r1),
    plusReal(scaled(g22, 1 / r2), r2),
  ]
  return negative(product(inverse(q), p))
}

const plusReal = (a: Complex, by: number): Complex => ({ re: a.re + by, im: a.im })

function negative(m: Matrix): Matrix {
  return [scaled(m[0], -1), scaled(m[1], -1), scaled(m[2], -1), scaled(m[3], -1)]
}
