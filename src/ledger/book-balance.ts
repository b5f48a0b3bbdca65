import { normalBelow } from '../measure/normal-distribution.ts'
import type { MonthBalance } from './month-balance.ts'

/** A month of the books from before the ledger: trims and over-length were not booked, so they are part of what is unexplained. */
export interface BookBalance extends MonthBalance {
  /** M; above nought it is missing. */
  unexplainedM: number
  /** One standard deviation, m. */
  unexplainedUncM: number
  chance: number
}

/** Shares by which the terms of a month may err, one standard deviation each. */
export interface BookErrors {
  /** Of lengths cut by a counter. */
  counterRatio: number
  /** Of lengths received and counted by the books of drums. */
  bookRatio: number
}

/** The expected standard deviation is √Σ(uᵢLᵢ)² over the terms, taken as independent (GUM 5.1.2). */
export function bookBalances(months: MonthBalance[], errors: BookErrors): BookBalance[] {
  return months.map((m) => {
    const unexplainedM = m.openingM + m.receivedM - m.shippedM - m.scrapM - m.samplesM - m.closingCountedM
    const unexplainedUncM = Math.hypot(
      errors.bookRatio * m.openingM,
      errors.bookRatio * m.receivedM,
      errors.counterRatio * m.shippedM,
      errors.counterRatio * m.scrapM,
      errors.counterRatio * m.samplesM,
      errors.bookRatio * m.closingCountedM,
    )
    const chance = unexplainedUncM > 0 ? 2 * normalBelow(-Math.abs(unexplainedM) / unexplainedUncM) : 1
    return { ...m, unexplainedM, unexplainedUncM, chance }
  })
}
