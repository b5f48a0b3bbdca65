import { type LengthUm, UM_PER_M, UM_PER_MM } from '../quantity/length.ts'

const UM_PER_INCH = 25_400
const UM_PER_FOOT = 12 * UM_PER_INCH

/** How far the law lets a length-measuring instrument err over a test length. */
export interface InstrumentLimit {
  /** It shows more than was delivered: the customer is short by at most this. */
  shortUm: LengthUm
  /** It shows less than was delivered: given away at most this. */
  overUm: LengthUm
}

export type StatutoryRule = 'ca219' | 'mid009-I' | 'mid009-II' | 'mid009-III'

/**
 * ca219: machines that measure rope, cordage and wire, Canada, Weights and Measures Regulations C.R.C. c. 1605 s. 219: under-registration
 * 1 in + 1 %, over-registration ½ in + ½ %; the same at acceptance and in service. The two sides differ: showing too much
 * shorts the customer and is held tighter.
 * mid009: instruments of Directive 2014/32/EU annex XI (MI-009): 0.125, 0.25 and 0.5 % by class, but no less than 0.005, 0.01
 * and 0.02 of the least length it may measure. FROM MEMORY: the table was not seen; confirm before use.
 */
export function instrumentLimit(
  rule: StatutoryRule,
  lengthUm: LengthUm,
  leastLengthUm: LengthUm,
): InstrumentLimit {
  if (rule === 'ca219')
    return { shortUm: UM_PER_INCH / 2 + lengthUm * 0.005, overUm: UM_PER_INCH + lengthUm * 0.01 }
  const [share, leastShare] = {
    'mid009-I': [0.00125, 0.005],
    'mid009-II': [0.0025, 0.01],
    'mid009-III': [0.005, 0.02],
  }[rule] as [number, number]
  const limitUm = Math.max(lengthUm * share, leastLengthUm * leastShare)
  return { shortUm: limitUm, overUm: limitUm }
}

export type TapeClass = 'I' | 'II' | 'III'

/** a + b·L, L in metres rounded up to the next whole one; c more where one end is a surface. mm. */
const TAPE_MM: Record<TapeClass, { a: number; b: number; c: number }> = {
  I: { a: 0.1, b: 0.1, c: 0.1 },
  II: { a: 0.3, b: 0.2, c: 0.2 },
  III: { a: 0.6, b: 0.4, c: 0.3 },
}

/** Permissible error of a tape or rule of a class: UK SI 2016/1153 schedule 1I, the same in the Swiss LMmV annex 1; at 20 °C, from 5 m at 50 N. */
export function tapeLimitUm(tapeClass: TapeClass, lengthUm: LengthUm, endSurface = false): LengthUm {
  const { a, b, c } = TAPE_MM[tapeClass]
  return Math.round((a + b * Math.ceil(lengthUm / UM_PER_M) + (endSurface ? c : 0)) * UM_PER_MM)
}

/** Greatest length of each band in feet, and its tolerance in 1/32 in. NIST Handbook 44 section 5.52, metal tapes. */
const HB44_BANDS = [
  [6, 1],
  [30, 2],
  [55, 4],
  [80, 6],
  [100, 8],
] as const

/** Maintenance tolerance of a metal tape; null beyond 100 ft, where the table ends. */
export function usTapeLimitUm(lengthUm: LengthUm): LengthUm | null {
  const band = HB44_BANDS.find(([feet]) => lengthUm <= feet * UM_PER_FOOT)
  return band ? (band[1] * UM_PER_INCH) / 32 : null
}
