/**
 * Minutes of the bench besides fitting a connector, whose minutes stand in connectors.csv. Estimates of ours for one person with the parts
 * at hand; a works replaces them by its own in more/bench_times.csv.
 */
export const STEP_MIN = {
  /** Once a line. */
  kit: 3,
  setup: 4,
  /** Each lead. */
  cut: 0.4,
  inspect: 0.5,
  continuity: 0.3,
  hipot: 0.5,
  rf: 1.5,
  reflect: 1,
  match: 0.5,
  pack: 0.8,
} as const

export type TimedTask = keyof typeof STEP_MIN

export const TIMED_TASKS = Object.keys(STEP_MIN) as TimedTask[]

/** A time that the works has set or learned. A row of more/bench_times.csv. */
export interface BenchTime {
  task: TimedTask
  minutes: number
  source: string
}

/** Continuity, high voltage and radio frequency of one lead, minutes. */
export const TEST_MIN = STEP_MIN.continuity + STEP_MIN.hipot + STEP_MIN.rf

export function taskMinutes(times: BenchTime[] | null, task: TimedTask): number {
  return times?.find((time) => time.task === task)?.minutes ?? STEP_MIN[task]
}
