/** Metres in and out of one cable type in one month. A row of month_ledger.csv; null where the cell is empty. */
export interface MonthBalance {
  /** (cable, month) unique. */
  cable: string
  /** YYYY-MM. */
  month: string
  /** M. */
  openingM: number
  /** M. */
  receivedM: number
  /** M. */
  shippedM: number
  /** M. */
  scrapM: number
  /** M. */
  samplesM: number
  /** Stock count, m. */
  closingCountedM: number
}
