import { CHECK_KINDS, type CheckKind } from './check-kind.ts'
import { type CheckInterval, type DueTask, intervalOf } from './due-interval.ts'
import { dateAfter, daysBetween } from './works-day.ts'

/** A line or tool that the works has. */
export interface DueSubject {
  what: CheckKind
  subject: string
  /** What it is, in the works' words. */
  name: string | null
  /** By certificate or seal, where a date is recorded. */
  dated: { task: 'calibration' | 'verification'; doneDate: string | null; dueDate: string } | null
}

/** Something that was done to one of them. */
export interface DoneCheck {
  what: CheckKind
  subject: string
  date: string
  passed: boolean
  /** Number of its record; null where it stands in the works folder only. */
  check: string | null
  /** A calibration or verification says how long it holds; null for a check. */
  validDays: number | null
}

export interface DueItem {
  what: CheckKind
  subject: string
  name: string | null
  task: DueTask
  lastDate: string | null
  /** Number of the last record. */
  lastCheck: string | null
  /** null: a date is recorded, or nothing at all. */
  lastPassed: boolean | null
  /** null: it was never done as far as is recorded. */
  dueDate: string | null
  /** Days until it is due; below nought: overdue; null where it was never done. */
  inDays: number | null
  state: 'failed' | 'overdue' | 'never' | 'today' | 'soon' | 'later'
  source: string
}

/** Due within so many days counts as soon. */
export const SOON_DAYS = 14

const ORDER: DueItem['state'][] = ['failed', 'overdue', 'never', 'today', 'soon', 'later']

/** The quantity of a check record that says for how many days a calibration or verification holds. */
export const VALID_FOR = 'valid for'

/** One calendar of everything that must be checked: what failed and what is overdue first. */
export function dueCalendar(
  subjects: DueSubject[],
  intervals: readonly CheckInterval[],
  done: DoneCheck[],
  today: string,
): DueItem[] {
  const items = allSubjects(subjects, intervals, done).flatMap((of) => {
    const own = done.filter((d) => d.what === of.what && d.subject === of.subject)
    return [checkItem(of, intervals, own, today), datedItem(of, intervals, own, today)]
  })
  return items
    .filter((item) => item !== null)
    .sort(
      (a, b) =>
        ORDER.indexOf(a.state) - ORDER.indexOf(b.state) ||
        (a.inDays ?? 0) - (b.inDays ?? 0) ||
        CHECK_KINDS.indexOf(a.what) - CHECK_KINDS.indexOf(b.what) ||
        (a.subject < b.subject ? -1 : a.subject > b.subject ? 1 : 0),
    )
}

/** Those that the works names, and those that only an interval or a record names. */
function allSubjects(
  subjects: DueSubject[],
  intervals: readonly CheckInterval[],
  done: DoneCheck[],
): DueSubject[] {
  const found = new Map(subjects.map((s) => [`${s.what}|${s.subject}`, s]))
  for (const { what, subject } of [...intervals, ...done]) {
    const key = `${what}|${subject}`
    if (subject !== null && !found.has(key)) found.set(key, { what, subject, name: null, dated: null })
  }
  return [...found.values()]
}

/** The last of a day counts; of several on one day the last in the list. */
function lastOf(done: DoneCheck[]): DoneCheck | null {
  return done.reduce<DoneCheck | null>((last, d) => (last && d.date < last.date ? last : d), null)
}

function checkItem(
  of: DueSubject,
  intervals: readonly CheckInterval[],
  done: DoneCheck[],
  today: string,
): DueItem | null {
  const interval = intervalOf(intervals, of.what, of.subject, 'check')
  const last = lastOf(done.filter((d) => d.validDays === null))
  if (!interval && !(last && !last.passed)) return null
  const dueDate = last && interval ? dateAfter(last.date, interval.days) : null
  return item(of, 'check', last, dueDate, interval?.source ?? 'it failed its last check', today)
}

function datedItem(
  of: DueSubject,
  intervals: readonly CheckInterval[],
  done: DoneCheck[],
  today: string,
): DueItem | null {
  const last = lastOf(done.filter((d) => d.validDays !== null))
  const { dated } = of
  const interval = intervalOf(intervals, of.what, of.subject, 'calibration')
  const task = dated?.task ?? 'calibration'
  const newer = last !== null && (dated?.doneDate ?? '') <= last.date
  if (newer) {
    const dueDate = dateAfter(last.date, last.validDays ?? 0)
    return item(of, task, last, dueDate, 'recorded with the certificate', today)
  }
  if (dated) {
    const written = { date: dated.doneDate, passed: null, check: null }
    return item(of, task, written, dated.dueDate, `date of ${task} in the works folder`, today)
  }
  return interval && item(of, task, null, null, interval.source, today)
}

function item(
  { what, subject, name }: DueSubject,
  task: DueTask,
  last: { date: string | null; passed: boolean | null; check: string | null } | null,
  dueDate: string | null,
  source: string,
  today: string,
): DueItem {
  const inDays = dueDate === null ? null : daysBetween(today, dueDate)
  return {
    ...{ what, subject, name, task, dueDate, inDays, source },
    ...{ lastDate: last?.date ?? null, lastCheck: last?.check ?? null, lastPassed: last?.passed ?? null },
    state: last?.passed === false ? 'failed' : stateOf(inDays),
  }
}

function stateOf(inDays: number | null): DueItem['state'] {
  if (inDays === null) return 'never'
  if (inDays < 0) return 'overdue'
  if (inDays === 0) return 'today'
  return inDays <= SOON_DAYS ? 'soon' : 'later'
}
