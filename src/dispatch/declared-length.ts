import type { Market } from '../hall/market.ts'
import { type LengthUm, UM_PER_FT, UM_PER_M } from '../quantity/length.ts'

/**
 * A length as figures that never overstate it: floor(L · 10^k / unit) / 10^k, each unit from the same lower bound,
 * in whole numbers throughout. Rounding a converted value down follows 16 CFR 500.11 and the NIST sheet on dual
 * declarations; decimals of a foot are at most two there. Metres below ten are given to the millimetre.
 * Valid up to 90 km (safe integers).
 */
export function declaredFigures(lowerBoundUm: LengthUm): { m: string; ft: string } {
  return {
    m: floorFigure(lowerBoundUm, UM_PER_M, lowerBoundUm < 10 * UM_PER_M ? 3 : 2),
    ft: floorFigure(lowerBoundUm, UM_PER_FT, 2),
  }
}

/** What the label of a market says: its template with both figures and its decimal mark. */
export function declaredText(
  lowerBoundUm: LengthUm,
  market: Pick<Market, 'labelTemplate' | 'decimalMark'>,
): string {
  const figures = declaredFigures(lowerBoundUm)
  const local = (figure: string) => figure.replace('.', market.decimalMark)
  // split and join: a replacement pattern such as $& in a works' template stays text
  return market.labelTemplate.split('{m}').join(local(figures.m)).split('{ft}').join(local(figures.ft))
}

function floorFigure(lengthUm: LengthUm, unitUm: number, decimals: number): string {
  const power = 10 ** decimals
  const units = Math.floor((lengthUm * power) / unitUm)
  // the division is of whole numbers below 2^53, but it is rounded: step down where it came out above
  const whole = units * unitUm > lengthUm * power ? units - 1 : units
  const fraction = String(whole % power)
    .padStart(decimals, '0')
    .replace(/0+$/, '')
  return `${Math.floor(whole / power)}${fraction ? `.${fraction}` : ''}`
}
