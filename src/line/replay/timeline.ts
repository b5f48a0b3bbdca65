import type { RunSample } from '../run-sample.ts'
import type { Found } from './finding.ts'
import { median } from './robust.ts'

/** A record in time: samples in the order in which they happened, and a clock that only runs forward. A figure that is none is NaN. */
export interface Timeline {
  samples: RunSample[]
  /** Seconds since the first sample on a clock freed of jumps. */
  sinceS: Float64Array
  /** Time between two samples as a rule, s. */
  intervalS: number
  /** True at a sample before which something was not recorded. */
  gapBefore: Uint8Array
  findings: Found[]
}

const NUMBERS = [
  ['tS', 't_s'],
  ['vSetMS', 'v_set_m_s'],
  ['vMS', 'v_m_s'],
  ['countM', 'count_m'],
  ['takeupTurns', 'takeup_turns'],
  ['payoffVMS', 'payoff_v_m_s'],
  ['dancerPct', 'dancer_pct'],
  ['tensionN', 'tension_n'],
  ['sparkKv', 'spark_kv'],
  ['sparkMa', 'spark_ma'],
  ['sparkEvent', 'spark_event'],
  ['odXMm', 'od_x_mm'],
  ['odYMm', 'od_y_mm'],
] as const satisfies [keyof RunSample, string][]

/** Puts a record in order. Nothing is thrown away but samples without a time; all that was odd becomes a finding. */
export function timelineOf(record: readonly RunSample[]): Timeline {
  const timed = record.filter((sample) => Number.isFinite(sample.tS)).map(withoutInfinities)
  const { samples, moved } = inOrder(timed)
  const findings = unreadable(samples, record.length - timed.length)
  if (moved > 0)
    findings.push({
      ...{ kind: 'out-of-order', severity: 'note', from: 0, to: samples.length - 1, placeless: true },
      ...{ size: moved, unit: 'samples' },
      text:
        moved === 1
          ? '1 sample stands out of order in the record; put back by its time.'
          : `${moved} samples stand out of order in the record; put back by their times.`,
    })
  const steps: number[] = []
  for (let i = 1; i < samples.length; i++) {
    const step = samples[i]!.tS - samples[i - 1]!.tS
    if (step > 0) steps.push(step)
  }
  const intervalS = steps.length > 0 ? median(steps) : 0.1
  const sinceS = new Float64Array(samples.length)
  const gapBefore = new Uint8Array(samples.length)
  for (let i = 1; i < samples.length; i++) {
    const step = samples[i]!.tS - samples[i - 1]!.tS
    const odd = stepOf(samples, i, step, intervalS)
    sinceS[i] = sinceS[i - 1]! + (odd === 'clock' ? intervalS : step)
    if (odd === 'gap') gapBefore[i] = 1
    if (odd !== null) findings.push(oddStep(samples, i, step, odd))
  }
  return { samples, sinceS, intervalS, gapBefore, findings }
}

/** By time where that makes the counter rise more steadily than the order of the record does; else as recorded. */
function inOrder(samples: RunSample[]): { samples: RunSample[]; moved: number } {
  const backward = samples.some((sample, i) => i > 0 && sample.tS < samples[i - 1]!.tS)
  if (!backward) return { samples, moved: 0 }
  const sorted = [...samples].sort((a, b) => a.tS - b.tS)
  if (countFalls(sorted) > countFalls(samples)) return { samples, moved: 0 }
  let latest = Number.NEGATIVE_INFINITY
  let moved = 0
  for (const { tS } of samples) {
    if (tS < latest) moved++
    latest = Math.max(latest, tS)
  }
  return { samples: sorted, moved }
}

function countFalls(samples: RunSample[]): number {
  let falls = 0
  for (let i = 1; i < samples.length; i++) if (samples[i]!.countM < samples[i - 1]!.countM) falls++
  return falls
}

/**
 * A step of more than one and a half intervals is a gap, unless the cable went no further than in one interval: then
 * the clock was put forward. A step of nought or less is a clock put back.
 */
function stepOf(samples: RunSample[], i: number, stepS: number, intervalS: number): 'gap' | 'clock' | null {
  if (stepS > 0 && stepS <= 1.5 * intervalS) return null
  if (stepS <= 0) return 'clock'
  const [before, after] = [samples[i - 1]!, samples[i]!]
  const speedMS = Math.min(before.vMS, after.vMS)
  const gone = after.countM - before.countM
  if (!(speedMS > 0.05) || !(gone >= 0)) return 'gap'
  return gone < speedMS * (intervalS + 0.25 * (stepS - intervalS)) + 0.002 ? 'clock' : 'gap'
}

function oddStep(samples: RunSample[], i: number, stepS: number, odd: 'gap' | 'clock'): Found {
  const facts = { from: i - 1, to: i, size: stepS, unit: 's' as const }
  if (odd === 'clock') {
    const how =
      stepS > 0 ? `was put forward by ${stepS.toFixed(1)} s` : `went back by ${(-stepS).toFixed(1)} s`
    const text = `The clock ${how} while the cable ran on; times are reckoned as if it had not.`
    return { kind: 'clock', severity: 'note', text, ...facts }
  }
  const lengthM = samples[i]!.countM - samples[i - 1]!.countM
  const over = lengthM >= 0 ? `, ${lengthM.toFixed(2)} m by the counter` : ''
  const text = `Nothing was recorded for ${stepS.toFixed(1)} s${over}: diameter and spark test of that stretch are not on record.`
  return { kind: 'gap', severity: lengthM > 0.05 ? 'watch' : 'note', text, ...facts }
}

/** An infinite figure is as little a reading as none. */
function withoutInfinities(sample: RunSample): RunSample {
  if (allNumbers(sample)) return sample
  const mended: RunSample = { ...sample }
  for (const [key] of NUMBERS) if (!Number.isFinite(mended[key])) mended[key] = Number.NaN
  return mended
}

function allNumbers(s: RunSample): boolean {
  const first = s.tS + s.vSetMS + s.vMS + s.countM + s.takeupTurns + s.payoffVMS + s.dancerPct
  return Number.isFinite(first + s.tensionN + s.sparkKv + s.sparkMa + s.sparkEvent + s.odXMm + s.odYMm)
}

/** Cells without a number, by column. */
function unreadable(samples: readonly RunSample[], withoutTime: number): Found[] {
  const found: Found[] = []
  if (withoutTime === 0 && samples.every(allNumbers)) return found
  for (const [key, column] of NUMBERS) {
    const bad: number[] = []
    for (let i = 0; i < samples.length; i++) if (!Number.isFinite(samples[i]![key])) bad.push(i)
    const count = key === 'tS' ? withoutTime : bad.length
    if (count === 0) continue
    const many = count === 1 ? '1 sample has' : `${count} samples have`
    const first = bad.length > 0 ? `, the first at ${samples[bad[0]!]!.tS} s` : ''
    found.push({
      ...{ kind: 'unreadable', severity: 'watch', placeless: true, size: count, unit: 'samples' },
      ...{ from: bad[0] ?? 0, to: bad.at(-1) ?? 0 },
      text: `${many} no number in ${column}${first}; what rests on them is left out.`,
    })
  }
  return found
}
