import type { CheckKind } from './check-kind.ts'

/** What is done to it: a check in the hall, a calibration with a certificate, or the verification that the law wants of a sealed counter. */
export type DueTask = 'check' | 'calibration' | 'verification'

/** How often something must be done. A row of more/check_intervals.csv. */
export interface CheckInterval {
  what: CheckKind
  /** One line or tool; null: all of this kind. A subject that is named here is one that the works has. */
  subject: string | null
  task: 'check' | 'calibration'
  days: number
  source: string
}

/** Where the works says nothing. Common practice of the trade; TRADE §6 and §7 for counters and spark testers. */
export const DEFAULT_INTERVALS: readonly CheckInterval[] = [
  usual('counter', 'check', 1, 'tape check at the start of each day that the line runs'),
  usual(
    'spark tester',
    'check',
    1,
    'artificial fault at line speed at the start of each day that the line runs',
  ),
  usual('spark tester', 'calibration', 365, 'yearly, with certificate'),
  usual('high-voltage tester', 'check', 1, 'known fault at the start of each day that it is used'),
  usual('high-voltage tester', 'calibration', 365, 'yearly, with certificate'),
  usual('tape', 'calibration', 730, 'every two years, with certificate'),
  usual('scale', 'check', 30, 'a known mass, monthly'),
  usual('scale', 'calibration', 365, 'yearly, with certificate'),
  usual('analyser kit', 'check', 7, 'a known lead, weekly'),
  usual('die', 'check', 30, 'go and no-go gauge, monthly'),
  usual('wrench', 'check', 30, 'on the torque meter, monthly'),
]

function usual(what: CheckKind, task: CheckInterval['task'], days: number, how: string): CheckInterval {
  return { what, subject: null, task, days, source: `common practice of the trade: ${how}` }
}

/** What holds for one subject: its own interval, else the works' for its kind, else the default; null where nothing asks for it. */
export function intervalOf(
  intervals: readonly CheckInterval[],
  what: CheckKind,
  subject: string,
  task: CheckInterval['task'],
): CheckInterval | null {
  const of = (from: readonly CheckInterval[], own: string | null) =>
    from.find((i) => i.what === what && i.task === task && i.subject === own)
  return of(intervals, subject) ?? of(intervals, null) ?? of(DEFAULT_INTERVALS, null) ?? null
}
