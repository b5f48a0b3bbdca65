import { type LengthUm, needUmFromTyped, UM_PER_M } from './length.ts'

/** A length as a person typed it, with its unit kept. */
export interface TypedLength {
  lengthUm: LengthUm
  unit: 'm' | 'ft'
}

/** Longest length that is taken, m: the bound of the works folder. */
const MOST_M = 100_000

/**
 * Reads `250m`, `800 ft`, `250.5 m`, `250,5 m`; answers in words what is wrong where it cannot. What may be a
 * thousands sign as well as a decimal mark is not guessed, and a length without its unit is none.
 */
export function typedLength(text: string): TypedLength | { wrong: string } {
  const match = /^(\d+(?:[.,]\d+)?)\s*(m|metres?|meters?|ft|feet|foot|')$/i.exec(text.trim())
  if (!match) {
    return /^\d+(?:[.,]\d+)?$/.test(text.trim())
      ? { wrong: `${text.trim()} has no unit; write ${text.trim()}m or ${text.trim()}ft.` }
      : { wrong: 'Write a length with its unit, such as 250m, 800ft or 250.5m.' }
  }
  const [, figure = '', word = ''] = match
  if (/^[1-9]\d{0,2}[.,]\d{3}$/.test(figure)) {
    const [whole = '', decimals = ''] = figure.split(/[.,]/)
    return {
      wrong: `${figure} may be ${whole}${decimals} or ${whole} and a fraction; write ${whole}${decimals} or ${whole}.${decimals}0.`,
    }
  }
  const unit = /^m/i.test(word) ? 'm' : 'ft'
  const lengthUm = needUmFromTyped(figure.replace(',', '.'), unit)
  if (!(lengthUm > 0)) return { wrong: 'A length must be above 0.' }
  if (lengthUm > MOST_M * UM_PER_M) return { wrong: `A length may have at most ${MOST_M} m.` }
  return { lengthUm, unit }
}
