import { putupLayers, turnsPerLayer } from './capacity.ts'
import type { Putup } from './putup.ts'
import type { PutupRules } from './putup-rules.ts'

/** How a cable lies on a put-up: enough to say, after any wound length, where the line stands. */
export interface Winding {
  barrelMm: number
  odMm: number
  /**
   * Turns that one layer takes on average. The works' fill factor is read as turns missing from each layer, for crossings
   * and reversals, since the turns that are there keep their circumference; so it need not be whole.
   */
  turns: number
  /** Layers that the put-up holds by the works' rule. */
  layers: number
  /** Height of one further layer over the cable's diameter: 1 = square, 0.866 = fully nested. */
  layerFactor: number
}

/** Where a winding stands after a wound length. */
export interface WoundState {
  /** The layer being wound, 1 on the barrel; 0 before anything is wound. */
  layer: number
  /** Turns of the take-up since the start. */
  turns: number
  turnsInLayer: number
  /** Diameter on which the cable's centre lies in this layer, mm: rope speed = π · this · turns per second. */
  turnDiameterMm: number
  /** Diameter over the cable, mm. */
  outerDiameterMm: number
  /** More layers than the put-up holds by the works' rule. */
  overfull: boolean
}

/** Null where not one turn of this cable finds room: barrel not below the flange, or a traverse narrower than the cable. */
export function windingOf(putup: Putup, odMm: number, rules: PutupRules): Winding | null {
  const turns = rules.fillFactor * turnsPerLayer(putup, odMm, rules)
  const layers = putupLayers(putup, odMm, rules)
  if (!(turns > 0) || !(layers > 0)) return null
  return { barrelMm: putup.barrelMm, odMm, turns, layers, layerFactor: rules.layerFactor }
}

/** Diameter over the cable when so many layers are on, mm; the barrel's own before the first. */
export function outerDiameterMm(winding: Winding, layers: number): number {
  if (layers <= 0) return winding.barrelMm
  return winding.barrelMm + 2 * winding.odMm * (1 + (layers - 1) * winding.layerFactor)
}

/** Diameter of the cable's centre line in a layer (1 = on the barrel), mm. */
export function turnDiameterMm(winding: Winding, layer: number): number {
  return winding.barrelMm + winding.odMm * (1 + 2 * winding.layerFactor * (layer - 1))
}

/** Length in so many full layers, m: the closed form of Σ turns · π · turnDiameter. */
export function fullLayersM(winding: Winding, layers: number): number {
  const { barrelMm, odMm, layerFactor, turns } = winding
  return (turns * Math.PI * layers * (barrelMm + odMm + odMm * layerFactor * (layers - 1))) / 1000
}

/**
 * Outer diameter, layer and turns after a wound length from the bare barrel. Turns are taken as circles: the pitch of the
 * helix lengthens a turn by (pitch/circumference)²/2, 0.02 % for 8 mm cable on a 130 mm barrel and less on any larger.
 */
export function windingAt(winding: Winding, lengthM: number): WoundState {
  const full = fullLayersBelow(winding, lengthM)
  const restM = Math.max(0, lengthM - fullLayersM(winding, full))
  // at the very end of a layer the next has not begun
  const begun = restM > 1e-9 * lengthM
  const layer = begun ? full + 1 : full
  const mm = turnDiameterMm(winding, Math.max(1, layer))
  const turnsInLayer = begun ? (restM * 1000) / (Math.PI * mm) : full === 0 ? 0 : winding.turns
  return {
    layer,
    turns: (begun ? full : Math.max(0, full - 1)) * winding.turns + turnsInLayer,
    turnsInLayer,
    turnDiameterMm: mm,
    outerDiameterMm: outerDiameterMm(winding, layer),
    overfull: layer > winding.layers,
  }
}

/** Length wound by so many turns of the take-up from the bare barrel, m: the inverse of `windingAt`. */
export function lengthAtTurnsM(winding: Winding, turns: number): number {
  const full = Math.floor(turns / winding.turns)
  const rest = turns - full * winding.turns
  return fullLayersM(winding, full) + (rest * Math.PI * turnDiameterMm(winding, full + 1)) / 1000
}

/** The most full layers that hold no more than a length: the root of `fullLayersM`, put right where a double falls beside it. */
function fullLayersBelow(winding: Winding, lengthM: number): number {
  if (!(lengthM > 0)) return 0
  const { barrelMm, odMm, layerFactor, turns } = winding
  const square = odMm * layerFactor
  const linear = barrelMm + odMm - square
  const area = (lengthM * 1000) / (turns * Math.PI)
  let full = Math.floor((2 * area) / (linear + Math.sqrt(linear * linear + 4 * square * area)))
  const within = (layers: number) => fullLayersM(winding, layers) <= lengthM * (1 + 1e-12)
  while (full > 0 && !within(full)) full--
  while (within(full + 1)) full++
  return full
}
