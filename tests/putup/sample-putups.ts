import fc from 'fast-check'
import type { Putup } from '../../src/putup/putup.ts'
import type { PutupRules } from '../../src/putup/putup-rules.ts'

/** A drum of any size; the rest of it plays no part in geometry. */
export function drumOf(flangeMm: number | null, barrelMm: number, traverseMm: number): Putup {
  return {
    putup: 'P',
    kind: flangeMm === null ? 'coil' : 'drum',
    material: 'plastic',
    flangeMm,
    barrelMm,
    traverseMm,
    tareKg: 1,
    payloadKg: 1e6,
    costEur: 1,
    woodMark: 'not_wood',
    cover: null,
  }
}

/** The rule of the demo works: lines.json `putup_rules`. */
export const WORKS_RULES: PutupRules = {
  pitchFactor: 1.03,
  layerFactor: 0.95,
  fillFactor: 0.95,
  clearanceMinMm: 25.4,
  clearanceOdFactor: 1,
  coilBuildMaxMm: 60,
  coilLayersMax: 6,
}

/** Turns touching, each on top of one below, nothing lost: what the published sums of layers assume. */
export const SQUARE_RULES: PutupRules = {
  ...WORKS_RULES,
  pitchFactor: 1,
  layerFactor: 1,
  fillFactor: 1,
  clearanceMinMm: 0,
  clearanceOdFactor: 0,
}

const tenths = (min: number, max: number) => fc.integer({ min: min * 10, max: max * 10 }).map((v) => v / 10)

export const anyRules = fc.record({
  pitchFactor: tenths(1, 1.2),
  layerFactor: fc.constantFrom(0.87, 0.9, 0.95, 1),
  fillFactor: fc.constantFrom(0.9, 0.95, 1),
  clearanceMinMm: tenths(0, 60),
  clearanceOdFactor: fc.constantFrom(0, 1, 2),
  coilBuildMaxMm: tenths(20, 120),
  coilLayersMax: fc.integer({ min: 1, max: 12 }),
})

/** Drums on which at least one turn finds room more often than not. */
export const anyDrum = fc
  .record({ barrel: tenths(40, 700), build: tenths(20, 500), traverse: tenths(20, 900) })
  .map(({ barrel, build, traverse }) => drumOf(barrel + 2 * build, barrel, traverse))

export const anyOdMm = tenths(2, 20)
