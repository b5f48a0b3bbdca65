import { balances, type Period } from '../ledger/balance.ts'
import { bookBalances } from '../ledger/book-balance.ts'
import { TYPE_MEASURES } from '../ledger/check-kind.ts'
import { type TypeCheck, unexplainedPattern } from '../ledger/unexplained.ts'
import { dateAfter } from '../ledger/works-day.ts'
import { monthYields } from '../ledger/yield.ts'
import { BOOK_HALF_RATIO } from '../measure/drum-witness.ts'
import { rectangular } from '../measure/uncertainty.ts'
import { checkRows } from '../store/record-queries.ts'
import type { BalanceAnswer, YieldAnswer } from '../works/records-api.ts'
import type { Works } from '../works/works.ts'
import type { RecordWorks } from './record-works.ts'
import type { StockMovements } from './stock-movements.ts'

/** The balance of a month, or from a day to another (both included); without either, of the month that it is. */
export async function balanceOf(
  works: RecordWorks,
  movements: StockMovements,
  asked: { month?: string | undefined; from?: string | undefined; to?: string | undefined },
): Promise<BalanceAnswer> {
  const { days, loaded } = works
  await movements.refresh()
  const sums = movements.sums(days)
  const month = asked.month ?? days.today.slice(0, 7)
  const whole = monthPeriod(month)
  const period: Period = {
    from: asked.from ?? whole.from,
    to: asked.to === undefined ? whole.to : dateAfter(asked.to, 1),
  }
  const since = sums.reduce<string | null>(
    (first, s) => (first === null || s.day < first ? s.day : first),
    null,
  )
  const found = await movements.differences(days, loaded.works.benchHall.shifts.line, period)
  const within = found.differences.filter((d) => d.day >= period.from)
  const months = new Set([...sums.map((s) => s.day.slice(0, 7)), days.today.slice(0, 7)])
  for (const row of loaded.works.monthLedger) months.add(row.month)
  const isMonth = asked.from === undefined && asked.to === undefined
  const books = loaded.works.monthLedger.filter(
    (row) => isMonth && row.month === month && (since === null || row.month <= since.slice(0, 7)),
  )
  return {
    from: period.from,
    to: dateAfter(period.to, -1),
    months: [...months].sort().reverse(),
    ledgerSince: since,
    balances: balances({ sums, ...found }, period),
    books: bookBalances(books, bookErrors(loaded.works)),
    unexplained: unexplainedPattern(within, found.strips, await typeChecks(works)),
  }
}

/** Recorded checks of a cable type's marks or mass, oldest first. */
async function typeChecks({ db, days }: RecordWorks): Promise<TypeCheck[]> {
  const rows = await checkRows(db, TYPE_MEASURES)
  return rows.flatMap(({ cable, check, at, passed }) =>
    cable === undefined ? [] : [{ cable, check, day: days.dayOf(at), passed }],
  )
}

/** The whole month, `to` being the first day after it. */
function monthPeriod(month: string): Period {
  const from = `${month}-01`
  const next = dateAfter(from, 31).slice(0, 7)
  return { from, to: `${next}-01` }
}

/** What the books of drums and the claim of the counters may err by, each place within alike (GUM 4.3.7). */
function bookErrors({ site }: Works) {
  const claimed = Math.max(0, ...site.lines.map((line) => line.counter.claimedErrorRatio))
  return { counterRatio: rectangular(claimed), bookRatio: rectangular(BOOK_HALF_RATIO) }
}

export async function yieldOf(
  { days, loaded }: RecordWorks,
  movements: StockMovements,
): Promise<YieldAnswer> {
  await movements.refresh()
  const { costs } = loaded.works
  return { months: monthYields(movements.sums(days), costs.materialCostEurM), currency: costs.currency }
}
