import { isDeepStrictEqual } from 'node:util'
import { type FittedCounter, fittedCounter } from '../ledger/counter-that-day.ts'
import { countersNow } from '../ledger/counters-now.ts'
import type { CheckRow } from '../ledger/state-rows.ts'
import type { NearSparkCheck } from '../ledger/trace.ts'
import { type WorksDays, worksDays } from '../ledger/works-day.ts'
import { sparkCheckPassed } from '../line/spark-check.ts'
import type { CounterCheck } from '../measure/counter-check.ts'
import type { Store } from '../store/dialect.ts'
import { checkRows } from '../store/record-queries.ts'
import type { LoadedMore } from './kept-more.ts'
import { OrderCustomers } from './order-customers.ts'

/** What every question to the records needs: the database, the works of today, and its days. */
export interface RecordWorks {
  db: Store
  loaded: LoadedMore
  days: WorksDays
  customers: OrderCustomers
  fits: CounterFits
}

/** Fitting a counter's trend takes a while; a fit holds until a check comes, or the day goes. */
export class CounterFits {
  #written: readonly CounterCheck[] | null = null
  #checks = -1
  #today = ''
  readonly #fits = new Map<string, FittedCounter>()

  of(line: string, { loaded, days }: RecordWorks, recorded: CheckRow[]): FittedCounter {
    const written = loaded.works.counterChecks
    // each change of an order line makes a works anew
    if (this.#written !== written && isDeepStrictEqual(this.#written, written)) this.#written = written
    if (this.#written !== written || this.#checks !== recorded.length || this.#today !== days.today) {
      this.#fits.clear()
      this.#written = written
      this.#checks = recorded.length
      this.#today = days.today
    }
    const known = this.#fits.get(line)
    if (known) return known
    const fit = fittedCounter(line, allChecks(loaded, recorded, days), days.today)
    this.#fits.set(line, fit)
    return fit
  }
}

function allChecks({ works }: LoadedMore, recorded: CheckRow[], days: WorksDays): CounterCheck[] {
  return countersNow(works.counterChecks, recorded, days)
}

/** One set of these for as long as a server runs, so that what is costly is kept. */
export function recordWorks(
  db: Store,
  loaded: LoadedMore,
  kept: Pick<RecordWorks, 'customers' | 'fits'>,
  nowIso: string,
): RecordWorks {
  return { db, loaded, days: worksDays(loaded.works.site.works.todayDate, nowIso), ...kept }
}

export function keptRecords(db: Store): Pick<RecordWorks, 'customers' | 'fits'> {
  return { customers: new OrderCustomers(db), fits: new CounterFits() }
}

/** The fitted counter of a rewinding line; null at a bench. */
export async function counterOf(works: RecordWorks, line: string): Promise<FittedCounter | null> {
  if (!works.loaded.works.site.lines.some(({ id }) => id === line)) return null
  return works.fits.of(line, works, await checkRows(works.db, 'counter'))
}

/**
 * Fits every counter ahead, one after the other with room for others between, so that the first question need not wait for it.
 * Once a server runs; the first fit is also the one in which the program itself is slow.
 */
export async function fitAhead(works: RecordWorks): Promise<void> {
  for (const { id } of works.loaded.works.site.lines) {
    await counterOf(works, id)
    await new Promise((resolve) => setImmediate(resolve))
  }
  await works.customers.refresh()
}

/** Checks of a line's spark tester, those of the works folder and those recorded, by the works' time. */
export async function sparkChecksOf(works: RecordWorks, line: string): Promise<NearSparkCheck[]> {
  const written = works.loaded.more.line.sparkChecks ?? []
  const recorded = await checkRows(works.db, 'spark tester', line)
  return [
    ...written
      .filter((c) => c.line === line)
      .map((c) => ({ at: c.at, passed: sparkCheckPassed(c), check: null })),
    ...recorded.map((c) => ({ at: worksTime(works.days, c.at), passed: c.passed, check: c.check })),
  ]
}

/** An instant by the works' day, for comparing with dates of the works folder. */
export function worksTime(days: WorksDays, at: string): string {
  return `${days.dayOf(at)}${at.slice(10)}`
}
