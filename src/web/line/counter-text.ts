import { figureText } from '../../quantity/length-text.ts'

/** A ratio as a percentage, to the thousandth as counters are spoken of. */
export function percentText(ratio: number, decimals = 3): string {
  return `${figureText(ratio * 100, decimals)} %`
}

/** Days since 1970-01-01 as a date. */
export function dateOfDay(day: number): string {
  return new Date(day * 86_400_000).toISOString().slice(0, 10)
}
