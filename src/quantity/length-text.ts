import { type LengthUm, UM_PER_FT, UM_PER_M } from './length.ts'

/**
 * A length for the eye, "37.5 m" or "328 ft": rounded to at most three decimals, trailing noughts dropped.
 * Not for what is declared to a customer; that is dispatch/declared-length.ts, which never rounds up.
 */
export function lengthText(lengthUm: LengthUm, unit: 'm' | 'ft', decimals = 3): string {
  return `${figureText(lengthUm / (unit === 'ft' ? UM_PER_FT : UM_PER_M), decimals)} ${unit}`
}

/** A figure with at most so many decimals, trailing noughts dropped, never "-0". */
export function figureText(value: number, decimals = 3): string {
  const text = value.toFixed(decimals)
  const short = text.includes('.') ? text.replace(/\.?0+$/, '') : text
  return short === '-0' ? '0' : short
}
