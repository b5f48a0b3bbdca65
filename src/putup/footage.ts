import { clearanceMm, putupCapacityM, putupLayers, turnsPerLayer } from './capacity.ts'
import type { Putup } from './putup.ts'
import type { PutupRules } from './putup-rules.ts'
import { stackedLength } from './stacking.ts'

/** The trade's footage of a reel, in metres. */
export interface Footage {
  layers: number
  turns: number
  lengthM: number
}

/** Share of the diameter that one more layer adds, and share of the traverse that turns fill, in the footage formula. */
const NESTING = 0.95
const FILL = 0.95

/**
 * Reel footage by the trade's formula: L = π·(B + N·0.95·D)·N·M, N = [(A − 2X − B)/(1.9·D)], M = [0.95·C/D], [ ] the
 * nearest whole number, A flange, B barrel, C traverse, D cable, X clearance, all in one unit. Source: reel capacity
 * method of NEMA WC 26 as restated in a published cable-handling guide (there with π/12: inches in, feet out). Valid for
 * round cable wound in layers between flanges; null where there is no flange, or no layer or turn finds room.
 */
export function reelFootage(size: {
  flangeMm: number | null
  barrelMm: number
  traverseMm: number
  odMm: number
  clearanceMm: number
}): Footage | null {
  const { flangeMm, barrelMm, traverseMm, odMm } = size
  if (flangeMm === null) return null
  const layers = Math.round((flangeMm - 2 * size.clearanceMm - barrelMm) / (2 * NESTING * odMm))
  const turns = Math.round((FILL * traverseMm) / odMm)
  if (layers <= 0 || turns <= 0) return null
  return { layers, turns, lengthM: (Math.PI * (barrelMm + layers * NESTING * odMm) * layers * turns) / 1000 }
}

/** One reason why the formula and the works' layer sum differ; the steps of a comparison add up to the whole difference. */
export interface FootageStep {
  what: 'layers' | 'turns' | 'diameter'
  differenceM: number
  text: string
}

export interface FootageComparison extends Footage {
  /** Formula less layer sum, m; above 0 the formula promises more than the works does. */
  differenceM: number
  steps: FootageStep[]
  text: string
}

/** The footage formula beside the works' layer sum, and where the difference comes from, one cause after the other. */
export function compareFootage(putup: Putup, odMm: number, rules: PutupRules): FootageComparison | null {
  const { flangeMm, barrelMm, traverseMm } = putup
  const clearance = clearanceMm(odMm, rules)
  const footage = reelFootage({ flangeMm, barrelMm, traverseMm, odMm, clearanceMm: clearance })
  if (footage === null) return null
  const layers = putupLayers(putup, odMm, rules)
  const turns = turnsPerLayer(putup, odMm, rules)
  const perLayer = rules.fillFactor * turns
  const sumM = (count: number, each: number) =>
    (each * Math.PI * count * (barrelMm + odMm * (1 + rules.layerFactor * (count - 1)))) / 1000
  const worksM = putupCapacityM(putup, { odMm }, rules)
  const byLayersM = sumM(footage.layers, perLayer)
  const byTurnsM = sumM(footage.layers, footage.turns)
  const steps: FootageStep[] = [
    {
      what: 'layers',
      differenceM: byLayersM - worksM,
      text: `${footage.layers} layers, rounded to the nearest, where the works counts ${layers} whole ones`,
    },
    {
      what: 'turns',
      differenceM: byTurnsM - byLayersM,
      text: `${footage.turns} turns on 95 % of the traverse, where the works lays ${turns} at a pitch of ${figure(rules.pitchFactor)} diameters and counts ${figure(perLayer)} of them`,
    },
    {
      what: 'diameter',
      differenceM: footage.lengthM - byTurnsM,
      text: `a mean diameter of barrel + ${footage.layers} × 0.95 diameters, where the works adds up layer by layer`,
    },
  ]
  const differenceM = footage.lengthM - worksM
  const nestedM = stackedLength(putup, odMm, rules, 'nested').lengthM
  const beyond =
    footage.lengthM > nestedM
      ? ` It is more than the ${nestedM.toFixed(1)} m that even a perfectly nested winding holds.`
      : ''
  const text = comparisonText(footage, worksM, differenceM, steps) + beyond
  return { ...footage, differenceM, steps, text }
}

function comparisonText(footage: Footage, worksM: number, differenceM: number, steps: FootageStep[]): string {
  const head = `The footage formula says ${footage.lengthM.toFixed(1)} m, the layer sum ${worksM.toFixed(1)} m`
  if (Math.abs(differenceM) < 0.05) return `${head}: they agree.`
  const causes = steps
    .filter((s) => Math.abs(s.differenceM) >= 0.05)
    .sort((a, b) => Math.abs(b.differenceM) - Math.abs(a.differenceM))
    .map((s) => `${signed(s.differenceM)} m from ${s.text}`)
  return `${head}: ${signed(differenceM)} m, of it ${causes.join('; ')}.`
}

function signed(value: number): string {
  return `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(1)}`
}

function figure(value: number): string {
  return String(Math.round(value * 100) / 100)
}
