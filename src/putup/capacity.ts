import type { CableType } from '../cable/cable-type.ts'
import type { Putup } from './putup.ts'
import type { PutupRules } from './putup-rules.ts'

/** Layers that are added up one by one; of a hair on a giant's drum their mean diameter stands for them, so that nothing waits. */
const MOST_SUMMED = 10_000

/**
 * How many metres of a cable a put-up holds by its geometry; payload is a separate limit.
 * Layers of helices, n turns each: L = fill · Σ n·π·(B + OD·(1 + 2·h·i)), the works' rule (works folder contract,
 * putup_rules; the same clearance and 95 % as the reel-footage formula of NEMA WC 26). 0 where the barrel is wider than the flange.
 */
export function putupCapacityM(putup: Putup, cable: Pick<CableType, 'odMm'>, rules: PutupRules): number {
  const od = cable.odMm
  const turns = turnsPerLayer(putup, od, rules)
  const layers = putupLayers(putup, od, rules)
  if (layers > MOST_SUMMED) {
    const meanMm = putup.barrelMm + od * (1 + rules.layerFactor * (layers - 1))
    return (rules.fillFactor * turns * Math.PI * layers * meanMm) / 1000
  }
  let lengthM = 0
  for (let i = 0; i < layers; i++)
    lengthM += (turns * Math.PI * (putup.barrelMm + od * (1 + 2 * rules.layerFactor * i))) / 1000
  return rules.fillFactor * lengthM
}

/** Whole turns side by side in one layer, half a diameter kept for the step up; 0 where not one finds room. */
export function turnsPerLayer(putup: Putup, odMm: number, rules: PutupRules): number {
  return Math.max(0, Math.floor((putup.traverseMm - odMm / 2) / (rules.pitchFactor * odMm)))
}

export function putupLayers(putup: Putup, odMm: number, rules: PutupRules): number {
  if (putup.kind === 'coil')
    return Math.max(1, Math.min(rules.coilLayersMax, Math.floor(rules.coilBuildMaxMm / odMm)))
  const buildMm = ((putup.flangeMm ?? 0) - putup.barrelMm) / 2 - clearanceMm(odMm, rules)
  return Math.max(0, Math.floor(buildMm / (rules.layerFactor * odMm)))
}

/** Flange that must stay above the cable, mm. */
export function clearanceMm(odMm: number, rules: PutupRules): number {
  return Math.max(rules.clearanceMinMm, rules.clearanceOdFactor * odMm)
}
