import { LIGHT_SPEED_M_S } from '../cable/constants.ts'
import { delayOf } from './delay.ts'
import type { JudgeAsked } from './judge-asked.ts'
import { type JudgedRule, notJudged, zoneText } from './judge-rule.ts'
import { hasParameter, type Sweep } from './sweep.ts'

/**
 * Length by the transmission's delay at the type's velocity. It need only lie within what velocity spread, length tolerance and the
 * unknown path inside the connectors allow: it tells another lead or another cable, not a fine fault of length.
 */
export function judgeLength(
  asked: JudgeAsked,
  sweep: Sweep,
): { rule: JudgedRule | null; velocity: number | null } {
  const name = 'length by delay'
  const { chain, lengthM } = asked
  const speed = chain.cable.velocityRatio * LIGHT_SPEED_M_S
  if (!asked.hasPhase || !hasParameter(sweep, 'S21')) return { rule: null, velocity: null }
  const stepHz = (sweep.fHz.at(-1)! - sweep.fHz[0]!) / (sweep.fHz.length - 1)
  const delayS = (lengthM / speed) * stepHz > 0.45 ? null : delayOf(sweep)
  if (delayS === null)
    return {
      rule: notJudged(name, 'm', 'the frequency steps are too coarse to count the turns of phase'),
      velocity: null,
    }
  const measured = delayS * speed
  const spread = chain.cable.velocityLotSpreadPct / 100
  // where inside a connector its electrical plane lies is known no better than its own length
  const ends = [chain.a, chain.b].map(
    (c) => Math.max(c?.tipToCableEndMm ?? 0, c?.tipToRefPlaneMm ?? 0) / 1_000,
  )
  const slack = ends.reduce((sum, end) => sum + end, 0)
  const least = (lengthM - asked.lengthMinusM) * (1 - spread) - slack
  const most = (lengthM + asked.lengthPlusM) * (1 + spread) + slack
  const inside = measured >= least && measured <= most
  const limit = Math.abs(measured - least) < Math.abs(measured - most) ? least : most
  return {
    rule: {
      ...{ name, measured, limit, acceptance: limit, unit: 'm', atMhz: null, falsePassPct: null },
      zone: inside ? 'inside' : 'outside',
      pass: inside,
      says: inside
        ? `${zoneText('inside')}: ${least.toFixed(3)} to ${most.toFixed(3)} m`
        : `${zoneText('outside')}, ${least.toFixed(3)} to ${most.toFixed(3)} m: another lead, another cable, or a wrong length`,
    },
    velocity: inside ? lengthM / delayS / LIGHT_SPEED_M_S : null,
  }
}
