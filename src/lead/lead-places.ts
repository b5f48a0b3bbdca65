import { attenuationDbPer100m } from '../cable/attenuation-fit.ts'
import { DB_PER_NEPER, LIGHT_SPEED_M_S } from '../cable/constants.ts'
import { gammaOfReturnLoss } from '../cable/reflection.ts'
import { type PlacedBump, placedBumps } from './bump-places.ts'
import { type BumpLine, findBumps } from './bumps.ts'
import type { JudgeAsked } from './judge-asked.ts'
import { type JudgedRule, reflectionRule } from './judge-rule.ts'
import { KAISER_BETA } from './kaiser-window.ts'
import { findPeriodicDefect, type PeriodicDefect } from './pitch.ts'
import { type JudgePlot, timePlot } from './plot-points.ts'
import { column, hasParameter, type Sweep, type SweepParameter } from './sweep.ts'
import { type EvenSweep, evenSweep, gated } from './time-domain.ts'

/** What a lead shows of itself along its length. */
export interface LeadPlaces {
  bumps: PlacedBump[]
  resolutionM: number | null
  rules: JudgedRule[]
  periodic: PeriodicDefect | null
  time: JudgePlot['time']
}

export function lookAtPlaces(asked: JudgeAsked, sweep: Sweep, velocity: number, notes: string[]): LeadPlaces {
  const none: LeadPlaces = { bumps: [], resolutionM: null, rules: [], periodic: null, time: [] }
  const seen = (parameter: SweepParameter) =>
    asked.hasPhase && hasParameter(sweep, parameter) ? evenSweep(sweep.fHz, column(sweep, parameter)) : null
  const [fromA, fromB] = [seen('S11'), seen('S22')]
  if (!fromA) {
    notes.push(
      'No places of reflections: that needs S11 with its phase at 16 or more evenly spaced frequencies.',
    )
    return none
  }
  const metresPerS = (velocity * LIGHT_SPEED_M_S) / 2
  if (metresPerS / fromA.stepHz < asked.lengthM * 1.2) {
    notes.push(
      'No places of reflections: the frequency steps are too coarse for the length, it would fold back.',
    )
    return none
  }
  const { chain, lengthM } = asked
  const line: BumpLine = {
    velocity,
    lengthM,
    alphaNpM: (fHz) => (attenuationDbPer100m(chain.fit, fHz / 1e6) * chain.tempFactor) / (100 * DB_PER_NEPER),
  }
  const a = findBumps(fromA, line)
  const b = fromB ? findBumps(fromB, line).bumps : []
  const resolutionM = a.response.resolutionS * metresPerS
  const spread = chain.cable.velocityLotSpreadPct / 100
  return {
    bumps: placedBumps(chain, lengthM, a.bumps, b, spread),
    resolutionM,
    ...lineAlone(asked, fromA, metresPerS, resolutionM, velocity, notes),
    time: timePlot(a.response, a.response.stepS * metresPerS, lengthM),
  }
}

/** Below this many resolutions nothing is left of a line when its ends are gated out. */
const GATE_RESOLUTIONS = 8

/** Share of the band at each end where the gate's renormalisation is not trusted. */
const GATE_EDGE = 0.05

/** The line between its connectors: structural return loss and periodic defects. */
function lineAlone(
  { chain, lengthM, instrument, rollers }: JudgeAsked,
  fromA: EvenSweep,
  metresPerS: number,
  resolutionM: number,
  velocity: number,
  notes: string[],
): Pick<LeadPlaces, 'rules' | 'periodic'> {
  if (lengthM < GATE_RESOLUTIONS * resolutionM) {
    notes.push('The line between the connectors is too short for this sweep to be judged by itself.')
    return { rules: [], periodic: null }
  }
  const inM = 2 * resolutionM
  const kept = gated(fromA, inM / metresPerS, (lengthM - inM) / metresPerS, resolutionM / metresPerS)
  notes.push(
    `Line alone: time gate from ${inM.toFixed(2)} to ${(lengthM - inM).toFixed(2)} m, edges ${resolutionM.toFixed(3)} m, which is the resolution under Kaiser's window of β ${KAISER_BETA}.`,
  )
  const count = kept.values.length / 2
  const skip = Math.ceil(count * GATE_EDGE)
  const fHz = Float64Array.from(
    { length: count - 2 * skip },
    (_, k) => kept.firstHz + (k + skip) * kept.stepHz,
  )
  const sizes = fHz.map((_, k) => Math.hypot(kept.values[2 * (k + skip)]!, kept.values[2 * (k + skip) + 1]!))
  let worst = 0
  for (let k = 1; k < sizes.length; k++) if (sizes[k]! > sizes[worst]!) worst = k
  const limit = gammaOfReturnLoss(chain.cable.srlMinDb)
  const name = 'structural return loss of the line'
  const rule = reflectionRule(name, sizes[worst]!, limit, instrument.gamma, fHz[worst]! / 1e6)
  const spread = chain.cable.velocityLotSpreadPct
  const periodic = findPeriodicDefect(fHz, sizes, { velocity, velocitySpreadPct: spread, lengthM }, rollers)
  return { rules: [rule], periodic }
}
