import type { CableType } from '../cable/cable-type.ts'
import type { Putup } from './putup.ts'
import type { PutupRules } from './putup-rules.ts'

/**
 * How many metres of a cable a put-up holds by its geometry; payload is a separate limit.
 * Layers of helices, n turns each: L = fill · Σ n·π·(B + OD·(1 + 2·h·i)), the works' rule (works folder contract,
 * putup_rules; the same clearance and 95 % as the reel-footage formula of NEMA WC 26). 0 where the barrel is wider than the flange.
 */
export function putupCapacityM(putup: Putup, cable: CableType, rules: PutupRules): number {
  const od = cable.odMm
  const turns = Math.floor((putup.traverseMm - od / 2) / (rules.pitchFactor * od))
  const layers = putupLayers(putup, od, rules)
  let lengthM = 0
  for (let i = 0; i < layers; i++)
    lengthM += (turns * Math.PI * (putup.barrelMm + od * (1 + 2 * rules.layerFactor * i))) / 1000
  return rules.fillFactor * lengthM
}

function putupLayers(putup: Putup, odMm: number, rules: PutupRules): number {
  if (putup.kind === 'coil')
    return Math.max(1, Math.min(rules.coilLayersMax, Math.floor(rules.coilBuildMaxMm / odMm)))
  const clearanceMm = Math.max(rules.clearanceMinMm, rules.clearanceOdFactor * odMm)
  const buildMm = ((putup.flangeMm ?? 0) - putup.barrelMm) / 2 - clearanceMm
  return Math.max(0, Math.floor(buildMm / (rules.layerFactor * odMm)))
}
