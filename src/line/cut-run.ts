import { type LengthUm, UM_PER_M } from '../quantity/length.ts'
import type { Interval } from '../strip/cut-plan.ts'
import { relaxesByM } from './permitted-pull.ts'
import { type PieceRun, pieceRun, type RunLimits, speedWorthRunning } from './piece-run.ts'

/** How one cut is run. */
export interface CutRun {
  /** Number of the cut, as on the run sheet. */
  cut: number
  use: Interval['use']
  /** True length to run. */
  lengthM: number
  putup: string | null
  /** Highest speed that it reaches, and the one beyond which no time worth having is saved. */
  peakMPerMin: number
  worthMPerMin: number
  /** Counter readings, from nought at the last cut. */
  slowAtM: number
  stopAtM: number
  runS: number
  handlingS: number
  /** By how much it is shorter at rest than under the set tension; null where the stiffness is not known. */
  relaxesByMm: number | null
}

export interface CutContext {
  limits: RunLimits
  overrunM: number
  errorRatio: number
  /** Smallest step of a preset. */
  stepUm: LengthUm
  strain: number | null
  worthRatio: number
}

/** Runs of the same length are the same: pieces repeat, and the search for their speeds is the dear part. */
export class RunCache {
  readonly #runs = new Map<string, { run: PieceRun; worthMPerS: number }>()

  of(lengthM: number, handlingS: number, context: CutContext): { run: PieceRun; worthMPerS: number } {
    const key = `${lengthM} ${handlingS}`
    let known = this.#runs.get(key)
    if (!known) {
      const run = pieceRun(lengthM, context.limits)
      known = { run, worthMPerS: speedWorthRunning(run, context.limits, handlingS, context.worthRatio) }
      this.#runs.set(key, known)
    }
    return known
  }
}

export function cutRun(
  interval: Interval,
  cut: number,
  handlingS: number,
  context: CutContext,
  cache: RunCache,
): CutRun {
  const lengthM = (interval.toUm - interval.fromUm) / UM_PER_M
  const { run, worthMPerS } = cache.of(lengthM, handlingS, context)
  const { errorRatio, stepUm } = context
  const steps = (trueM: number) => (trueM * (1 + errorRatio) * UM_PER_M) / stepUm
  // the stop is a need and goes up to the next step, the slowing down may come a step early
  const stopAtM = (Math.ceil(steps(Math.max(0, lengthM - context.overrunM)) - 0.001) * stepUm) / UM_PER_M
  return {
    cut,
    use: interval.use,
    lengthM,
    putup: 'putup' in interval ? interval.putup : null,
    peakMPerMin: run.peakMPerS * 60,
    worthMPerMin: worthMPerS * 60,
    slowAtM: (Math.floor(steps(run.slowAtM)) * stepUm) / UM_PER_M,
    stopAtM,
    runS: run.timeS,
    handlingS,
    relaxesByMm: context.strain === null ? null : relaxesByM(lengthM, context.strain) * 1000,
  }
}
