import type { JudgedSweep } from './judge-rule.ts'
import type { LimitsAt } from './lead-limits.ts'
import { hasParameter, magnitudes, type SweepParameter } from './sweep.ts'
import type { ImpulseResponse } from './time-domain.ts'

/** What a plot draws: so few points that a screen or a sheet shows them all, the worst of each step kept. */
export interface JudgePlot {
  loss: { fMhz: number; measuredDb: number; nominalDb: number; limitDb: number; acceptanceDb: number }[]
  returnLossA: ReturnPoint[]
  returnLossB: ReturnPoint[]
  /** Seen from end A. */
  time: { atM: number; returnLossDb: number }[]
}

interface ReturnPoint {
  fMhz: number
  measuredDb: number
  limitDb: number
}

const PLOT_POINTS = 600

export function judgePlot(judged: JudgedSweep, uncertaintyDb: number, time: JudgePlot['time']): JudgePlot {
  const { sweep, limits } = judged
  const fMhz = (i: number) => sweep.fHz[i]! / 1e6
  const loss: JudgePlot['loss'] = []
  if (hasParameter(sweep, 'S21')) {
    const db = magnitudes(sweep, 'S21').map((size) => -20 * Math.log10(size))
    for (const i of worstOfSteps(db.length, (k) => db[k]! - limits[k]!.lossDb)) {
      const { nominalLossDb: nominalDb, lossDb: limitDb } = limits[i]!
      loss.push({
        fMhz: fMhz(i),
        measuredDb: db[i]!,
        nominalDb,
        limitDb,
        acceptanceDb: limitDb - uncertaintyDb,
      })
    }
  }
  const reflection = (parameter: SweepParameter, limitOf: (at: LimitsAt) => number): ReturnPoint[] => {
    if (!hasParameter(sweep, parameter)) return []
    const sizes = magnitudes(sweep, parameter)
    return worstOfSteps(sizes.length, (k) => sizes[k]! / limitOf(limits[k]!)).map((i) => ({
      fMhz: fMhz(i),
      measuredDb: -20 * Math.log10(sizes[i]!),
      limitDb: -20 * Math.log10(limitOf(limits[i]!)),
    }))
  }
  return {
    loss,
    returnLossA: reflection('S11', (at) => at.gammaA),
    returnLossB: reflection('S22', (at) => at.gammaB),
    time,
  }
}

/** The impulse response from the near plane to a little beyond the far one. */
export function timePlot(
  response: ImpulseResponse,
  metresPerStep: number,
  lengthM: number,
): JudgePlot['time'] {
  const count = Math.min(response.re.length, Math.ceil((lengthM * 1.1 + 0.1) / metresPerStep))
  const size = (i: number) => Math.hypot(response.re[i]!, response.im[i]!)
  return worstOfSteps(count, size).map((i) => ({
    atM: i * metresPerStep,
    returnLossDb: -20 * Math.log10(Math.max(size(i), 1e-10)),
  }))
}

/** Indices in order, at most so many, that with the largest value of each step. */
function worstOfSteps(count: number, of: (i: number) => number): number[] {
  const steps = Math.min(count, PLOT_POINTS)
  return Array.from({ length: steps }, (_, step) => {
    const from = Math.floor((step * count) / steps)
    const to = Math.floor(((step + 1) * count) / steps)
    let worst = from
    for (let i = from + 1; i < to; i++) if (of(i) > of(worst)) worst = i
    return worst
  })
}
