import { CHECK_KINDS } from '../ledger/check-kind.ts'
import type { CheckInterval } from '../ledger/due-interval.ts'
import { type Columns, choice, id, maybe, number, text } from './column.ts'
import { joined, uniqueRows } from './known-ids.ts'
import { type MoreResult, MoreTables, wholeRecords } from './more-tables.ts'
import type { Works } from './works.ts'

/** Optional file of `more/` on how often what must be checked. As strict as the sixteen. */
export const MORE_CHECK_FILES = ['more/check_intervals.csv'] as const

/** Longer than ten years is no interval. */
const MAX_DAYS = 3_660

export const CHECK_INTERVAL_COLUMNS: Columns<CheckInterval> = {
  what: choice('what', ...CHECK_KINDS),
  subject: maybe(id('subject')),
  task: choice('task', 'check', 'calibration'),
  days: number('days', { from: 1, to: MAX_DAYS, whole: true }),
  source: text('source'),
}

/** null for a file that is not there: then the defaults of ledger/due-interval.ts hold. */
export interface MoreChecks {
  checkIntervals: CheckInterval[] | null
}

/** Reads the optional file; a breach refuses it all. */
export function parseMoreChecks(
  files: ReadonlyMap<string, Uint8Array>,
  works: Works,
): MoreResult<MoreChecks> {
  const lines = new Set(works.site.lines.map(({ id: line }) => line))
  const tables = new MoreTables(files, MORE_CHECK_FILES, new Map())
  const intervals = tables.read('more/check_intervals.csv', CHECK_INTERVAL_COLUMNS)
  if (intervals) {
    uniqueRows(
      intervals,
      'subject',
      'task of one thing',
      ({ what, subject, task }) => joined(what, subject ?? '', task),
      tables.problems,
    )
    for (const { row, record } of intervals.rows) {
      const { what, subject } = record
      if (subject == null || (what !== 'counter' && what !== 'spark tester') || lines.has(subject)) continue
      tables.problems.add(
        intervals.file,
        row,
        'subject',
        `${subject} is no line`,
        'a line of lines.json: a counter or spark tester goes by its line',
      )
    }
  }
  return tables.result(() => ({ checkIntervals: wholeRecords(intervals) }))
}
