import { returnLossDb } from '../cable/reflection.ts'
import { guardedBelow, type InstrumentUncertainty, type Zone } from './guard.ts'
import type { LimitsAt } from './lead-limits.ts'
import { magnitudes, type Sweep, type SweepParameter } from './sweep.ts'

/** One rule by which a measured lead passes or fails. */
export interface JudgedRule {
  name: string
  /** At the frequency with the least margin; null where it could not be judged. */
  measured: number | null
  /** Specification limit and the acceptance limit inside it, at that frequency. */
  limit: number | null
  acceptance: number | null
  unit: 'dB' | 'm'
  atMhz: number | null
  falsePassPct: number | null
  zone: Zone | 'not judged'
  /** null where the rule could not be judged. */
  pass: boolean | null
  says: string
}

/** The sweep cut to where it is judged, with the limits at each frequency. */
export interface JudgedSweep {
  sweep: Sweep
  limits: LimitsAt[]
}

const mhz = (sweep: Sweep, i: number): number => sweep.fHz[i]! / 1e6

/** A rule of which nothing can be said, and why. */
export function notJudged(name: string, unit: JudgedRule['unit'], says: string): JudgedRule {
  return {
    ...{ name, measured: null, limit: null, acceptance: null, unit, atMhz: null, falsePassPct: null },
    ...{ zone: 'not judged' as const, pass: null, says },
  }
}

/**
 * So many times the uncertainty the tolerance must be: at 1 the acceptance limit is what a lead is expected to lose, and every other good lead
 * would fail. Our default; laboratories ask for 3 or 4 where they can have it.
 */
const LEAST_RATIO = 2

/**
 * Insertion loss. Guarded acceptance asks for an uncertainty well below the type's tolerance; at the low end of a sweep of a short
 * lead it is not, and nothing can be proven there: below that frequency a lead fails only by what lies beyond the
 * limit and the uncertainty together.
 */
export function judgeLoss({ sweep, limits }: JudgedSweep, { lossDb }: InstrumentUncertainty): JudgedRule {
  const name = 'insertion loss'
  const loss = magnitudes(sweep, 'S21').map((size) => -20 * Math.log10(size))
  const provable = limits.findIndex((at) => at.lossDb - at.nominalLossDb >= LEAST_RATIO * lossDb)
  const from = provable < 0 ? limits.length : provable
  const gross = worstOf(from, (i) => loss[i]! - limits[i]!.lossDb)
  if (gross !== null && loss[gross]! > limits[gross]!.lossDb + lossDb)
    return lossRule(name, loss, limits, gross, lossDb, sweep, 'beyond limit and uncertainty together')
  const widest = limits.reduce((most, at) => Math.max(most, at.lossDb - at.nominalLossDb), 0)
  if (provable < 0)
    return notJudged(
      name,
      'dB',
      `Not proven either way: the tolerance of so short a lead is ${widest.toFixed(3)} dB, less than ${LEAST_RATIO} times the uncertainty of ${lossDb} dB.`,
    )
  const worst = from + worstOf(limits.length - from, (i) => loss[from + i]! - limits[from + i]!.lossDb)!
  const range = `judged from ${mhz(sweep, from).toFixed(0)} to ${mhz(sweep, limits.length - 1).toFixed(0)} MHz`
  return lossRule(name, loss, limits, worst, lossDb, sweep, range)
}

function lossRule(
  name: string,
  loss: Float64Array,
  limits: LimitsAt[],
  at: number,
  expanded: number,
  sweep: Sweep,
  range: string,
): JudgedRule {
  const guarded = guardedBelow(loss[at]!, limits[at]!.lossDb, expanded)
  return {
    name,
    measured: loss[at]!,
    limit: guarded.limit,
    acceptance: guarded.acceptance,
    unit: 'dB',
    atMhz: mhz(sweep, at),
    falsePassPct: guarded.falsePassPct,
    zone: guarded.zone,
    pass: guarded.zone === 'inside',
    says: `${zoneText(guarded.zone)}; ${range}`,
  }
}

/** Return loss of one end against the two connectors and the line between; judged as size of reflection, told in dB. */
export function judgeReturnLoss(
  name: string,
  { sweep, limits }: JudgedSweep,
  parameter: SweepParameter,
  limitOf: (at: LimitsAt) => number,
  { gamma }: InstrumentUncertainty,
): JudgedRule {
  const sizes = magnitudes(sweep, parameter)
  const at = worstOf(sizes.length, (i) => sizes[i]! - limitOf(limits[i]!))!
  return reflectionRule(name, sizes[at]!, limitOf(limits[at]!), gamma, mhz(sweep, at))
}

export function reflectionRule(
  name: string,
  size: number,
  limit: number,
  expanded: number,
  atMhz: number,
): JudgedRule {
  const guarded = guardedBelow(size, limit, expanded)
  return {
    name,
    measured: returnLossDb(size),
    limit: returnLossDb(limit),
    // an uncertainty above the limit leaves nothing that could be accepted
    acceptance: guarded.acceptance > 0 ? returnLossDb(guarded.acceptance) : null,
    unit: 'dB',
    atMhz,
    falsePassPct: guarded.falsePassPct,
    zone: guarded.zone,
    pass: guarded.zone === 'inside',
    says: zoneText(guarded.zone),
  }
}

export function zoneText(zone: Zone): string {
  if (zone === 'inside') return 'inside the acceptance limit'
  if (zone === 'guard band') return 'inside the specification, but too near to it to be accepted'
  return 'outside the specification'
}

/** Index of the largest; null where there are none. */
function worstOf(count: number, of: (i: number) => number): number | null {
  let worst: number | null = null
  let most = Number.NEGATIVE_INFINITY
  for (let i = 0; i < count; i++) {
    const value = of(i)
    if (value > most) {
      most = value
      worst = i
    }
  }
  return worst
}
