import { clearanceMm } from './capacity.ts'
import type { Putup } from './putup.ts'
import type { PutupRules } from './putup-rules.ts'

/** Height that one more layer adds over the cable's diameter when every turn lies in the groove of two below: √3/2, geometry. */
export const NESTED_LAYER_FACTOR = Math.sqrt(3) / 2

/**
 * Share of a cross-section that round cable fills at a pitch and a layer height in diameters: π/4 square, 0.907 fully
 * nested. Geometry of circles; nothing at the edges.
 */
export function spaceFactor(pitchFactor: number, layerFactor: number): number {
  return Math.PI / 4 / (pitchFactor * layerFactor)
}

export interface StackedLength {
  layers: number
  /** Turns in the first layer; nested layers alternate with one less where half a turn of room is missing. */
  turns: number
  lengthM: number
}

/**
 * What a winding without any flaw would hold, turns touching: square stacked (each turn on top of one below) or nested
 * (each in the groove). Two marks to hold the works' rule against; a real winding, which crosses over once a turn, lies between
 * or below. Within the works' clearance and, for a coil, its build and number of layers.
 */
export function stackedLength(
  putup: Putup,
  odMm: number,
  rules: PutupRules,
  how: 'square' | 'nested',
): StackedLength {
  const turns = Math.max(0, Math.floor(putup.traverseMm / odMm + 1e-9))
  // where every second layer would be empty, nothing can nest
  const odd = Math.floor(putup.traverseMm / odMm - 0.5 + 1e-9)
  const nests = how === 'nested' && odd > 0
  const factor = nests ? NESTED_LAYER_FACTOR : 1
  const layers = layersIn(buildMm(putup, odMm, rules), odMm, factor, putup, rules)
  const firstMm = putup.barrelMm + odMm
  const stepMm = 2 * factor * odMm
  const lengthM = nests
    ? turns * circlesM(Math.ceil(layers / 2), firstMm, 2 * stepMm) +
      odd * circlesM(Math.floor(layers / 2), firstMm + stepMm, 2 * stepMm)
    : turns * circlesM(layers, firstMm, stepMm)
  return { layers: turns > 0 ? layers : 0, turns, lengthM }
}

/** Sum of so many circles, each larger than the last by the same step, m. */
function circlesM(count: number, firstMm: number, stepMm: number): number {
  return (Math.PI * count * (firstMm + (stepMm * (count - 1)) / 2)) / 1000
}

function buildMm(putup: Putup, odMm: number, rules: PutupRules): number {
  if (putup.kind === 'coil') return rules.coilBuildMaxMm
  return ((putup.flangeMm ?? 0) - putup.barrelMm) / 2 - clearanceMm(odMm, rules)
}

function layersIn(build: number, odMm: number, factor: number, putup: Putup, rules: PutupRules): number {
  if (build < odMm) return 0
  const layers = 1 + Math.floor((build - odMm) / (factor * odMm) + 1e-9)
  return putup.kind === 'coil' ? Math.min(rules.coilLayersMax, layers) : layers
}
