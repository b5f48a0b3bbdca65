import { LastmetreError } from '../quantity/errors.ts'
import type { PlacedBump } from './bump-places.ts'
import { GUARD_RULE, type InstrumentUncertainty } from './guard.ts'
import type { JudgeAsked } from './judge-asked.ts'
import { judgeLength } from './judge-length.ts'
import { type JudgedRule, type JudgedSweep, judgeLoss, judgeReturnLoss, notJudged } from './judge-rule.ts'
import { type DirectLimits, directLimits, limitsAt, ripplePeriodMhz } from './lead-limits.ts'
import { lookAtPlaces } from './lead-places.ts'
import type { PeriodicDefect } from './pitch.ts'
import { type JudgePlot, judgePlot } from './plot-points.ts'
import { hasParameter, type Sweep, type SweepParameter, widthOf } from './sweep.ts'
import { renormalisedSweep } from './sweep-algebra.ts'

export interface Judgement {
  verdict: 'pass' | 'fail' | 'not proven'
  guardRule: string
  instrument: InstrumentUncertainty
  judgedFromMhz: number
  judgedToMhz: number
  rules: JudgedRule[]
  bumps: PlacedBump[]
  /** Two bumps nearer than this stand as one, m; null where the sweep says nothing in time. */
  resolutionM: number | null
  pitchM: number | null
  periodic: PeriodicDefect | null
  ripplePeriodMhz: number
  direct: DirectLimits
  notes: string[]
  plot: JudgePlot
}

export function judgeLead(asked: JudgeAsked): Judgement {
  const notes: string[] = asked.overdue === null ? [] : [asked.overdue]
  const judged = judgedSweep(asked, notes)
  const { sweep } = judged
  const length = judgeLength(asked, sweep)
  // a delay that fits tells this lead's own velocity; one that does not says that this may be another lead
  const velocity = length.velocity ?? asked.chain.cable.velocityRatio
  const places = lookAtPlaces(asked, sweep, velocity, notes)
  const rules = [...amplitudeRules(asked, judged), ...(length.rule ? [length.rule] : []), ...places.rules]
  noteOddities(sweep, notes)
  return {
    verdict: verdictOf(rules, asked.overdue !== null),
    guardRule: GUARD_RULE,
    instrument: asked.instrument,
    judgedFromMhz: sweep.fHz[0]! / 1e6,
    judgedToMhz: sweep.fHz.at(-1)! / 1e6,
    rules,
    bumps: places.bumps,
    resolutionM: places.resolutionM,
    pitchM: places.periodic?.pitchM ?? null,
    periodic: places.periodic,
    ripplePeriodMhz: ripplePeriodMhz(velocity, asked.lengthM),
    direct: directLimits(asked.chain),
    notes,
    plot: judgePlot(judged, asked.instrument.lossDb, places.time),
  }
}

/** A fault shows on any instrument; a pass needs one that proves something. */
function verdictOf(rules: JudgedRule[], overdue: boolean): Judgement['verdict'] {
  if (rules.some((rule) => rule.pass === false)) return 'fail'
  return !overdue && rules.every((rule) => rule.pass === true) ? 'pass' : 'not proven'
}

/** The part of the sweep for which figures hold, at the impedance of the cable. */
function judgedSweep({ chain, toMhz, sweep }: JudgeAsked, notes: string[]): JudgedSweep {
  const nominal = chain.cable.z0NominalOhm
  if (sweep.zRefOhm.some((z) => z !== nominal))
    notes.push(
      `Measured at ${sweep.zRefOhm.join(' and ')} ohm, judged at ${nominal} ohm: recalculated exactly.`,
    )
  const own = renormalisedSweep(
    sweep,
    sweep.zRefOhm.map(() => nominal),
  )
  const topMhz = Math.min(toMhz ?? Number.POSITIVE_INFINITY, chain.validity.validToMhz)
  const width = widthOf(own)
  let from = 0
  // at direct current there is neither loss of the skin effect nor phase
  while (from < own.fHz.length && own.fHz[from]! <= 0) from++
  let to = own.fHz.length
  while (to > from && own.fHz[to - 1]! > topMhz * 1e6 * (1 + 1e-9)) to--
  if (to - from < 2)
    throw new LastmetreError(
      'measurement-refused',
      `The measurement has fewer than two frequencies up to ${topMhz.toFixed(0)} MHz, where the figures of this lead end.`,
    )
  if (to < own.fHz.length)
    notes.push(
      `${own.fHz.length - to} frequencies above ${topMhz.toFixed(0)} MHz are left out: ${
        toMhz !== null && toMhz < chain.validity.validToMhz ? 'the end of the test' : chain.validity.endedBy
      }.`,
    )
  else if (toMhz !== null && own.fHz[to - 1]! < toMhz * 1e6 * 0.999)
    notes.push(`Measured only to ${(own.fHz[to - 1]! / 1e6).toFixed(0)} MHz; the test asks for ${toMhz} MHz.`)
  const cut: Sweep = { ...own, fHz: own.fHz.slice(from, to), s: own.s.slice(from * width, to * width) }
  return { sweep: cut, limits: Array.from(cut.fHz, (f) => limitsAt(chain, f / 1e6)) }
}

function amplitudeRules({ instrument }: JudgeAsked, judged: JudgedSweep): JudgedRule[] {
  const has = (parameter: SweepParameter) => hasParameter(judged.sweep, parameter)
  const missing = (name: string, parameter: string) => notJudged(name, 'dB', `${parameter} was not measured`)
  const near = 'return loss from end A'
  const far = 'return loss from end B'
  return [
    has('S21') ? judgeLoss(judged, instrument) : missing('insertion loss', 'S21'),
    has('S11') ? judgeReturnLoss(near, judged, 'S11', (at) => at.gammaA, instrument) : missing(near, 'S11'),
    has('S22') ? judgeReturnLoss(far, judged, 'S22', (at) => at.gammaB, instrument) : missing(far, 'S22'),
  ]
}

/** A passive lead gives out no more than it takes in, and passes as much one way as the other. */
function noteOddities(sweep: Sweep, notes: string[]): void {
  let most = 0
  let apart = 0
  const width = widthOf(sweep)
  for (let i = 0; i < sweep.s.length; i += 2)
    most = Math.max(most, sweep.s[i]! ** 2 + sweep.s[i + 1]! ** 2 || 0)
  if (sweep.ports === 2)
    for (let i = 0; i < sweep.s.length; i += width)
      apart = Math.max(
        apart,
        Math.hypot(sweep.s[i + 2]! - sweep.s[i + 4]!, sweep.s[i + 3]! - sweep.s[i + 5]!) || 0,
      )
  if (most > 1.02 ** 2)
    notes.push('A reflection or transmission above 1: a lead cannot do that; check the calibration.')
  if (apart > 0.02)
    notes.push('It passes unlike in its two directions: a lead cannot do that; check the calibration.')
}
