import { type BarrelLimit, barrelLimits } from './barrel-limits.ts'
import { turnsPerLayer } from './capacity.ts'
import type { CoilSize } from './coil.ts'
import type { FilmSleeve } from './film-sleeve.ts'
import { compareFootage, type FootageComparison } from './footage.ts'
import { type PackedCost, type PackedPutup, packedPutup } from './packed-putup.ts'
import type { Putup } from './putup.ts'
import { checkAsk, type PutupAsk } from './putup-ask.ts'
import { capacityOf, type LimitedBy, type Refusal, refusalsOf } from './putup-limits.ts'
import { putupNotes } from './putup-notes.ts'
import { stackedLength } from './stacking.ts'

/** The answer on one put-up. Metres, millimetres, kilograms and euro as the names say; unknown is null. */
export interface PutupChoice {
  putup: string
  kind: Putup['kind']
  fits: boolean
  /** The works' rule: geometry, then payload; 0 on a barrel below the cable's least. */
  capacityM: number
  geometryM: number
  /** Longest declared length that goes on, guard and trim reckoned in. */
  longestM: number
  limitedBy: LimitedBy
  reason: string
  /** What to look at although it fits. */
  notes: string[]
  netKg: number
  grossKg: number
  /** Price of the put-up, as plans count it. */
  costEur: number
  /** With film, ties and handling: what the order goes by. */
  packedEur: number
  cost: PackedCost
  line: string | null
  /** Whole turns side by side in one layer. */
  turnsPerLayer: number
  layers: number | null
  layersMost: number | null
  turns: number | null
  outerDiameterMm: number | null
  freeFlangeMm: number | null
  /** Asked length over what the geometry holds, %. */
  usedPct: number | null
  barrelLimits: BarrelLimit[]
  coil: CoilSize | null
  film: FilmSleeve | null
  footage: FootageComparison | null
  squareM: number
  nestedM: number
}

/**
 * Every put-up of the works for one piece, best first: those that may be used, cheapest all in first (of equals the lighter),
 * then those that may not, the fewest reasons against first; process drums last.
 */
export function choosePutups(ask: PutupAsk): PutupChoice[] {
  checkAsk(ask)
  return ask.putups
    .map((putup) => {
      const packed = packedPutup(ask, putup)
      const refusals = refusalsOf(ask, putup, packed)
      const against = putup.kind === 'process_drum' ? 99 : refusals.length
      return { choice: choiceOf(ask, putup, packed, refusals), against }
    })
    .sort(
      (a, b) =>
        a.against - b.against ||
        a.choice.packedEur - b.choice.packedEur ||
        a.choice.grossKg - b.choice.grossKg ||
        (a.choice.putup < b.choice.putup ? -1 : 1),
    )
    .map(({ choice }) => choice)
}

function choiceOf(ask: PutupAsk, putup: Putup, packed: PackedPutup, refusals: Refusal[]): PutupChoice {
  const { cable, putupRules, declaredM } = ask
  const { geometryM, capacityM, longestM, boundBy } = capacityOf(ask, putup)
  const first = refusals[0]
  return {
    putup: putup.putup,
    kind: putup.kind,
    fits: first === undefined,
    capacityM,
    geometryM,
    longestM,
    limitedBy: first?.limitedBy ?? boundBy,
    reason: first === undefined ? fitText(ask, packed, longestM) : refusals.map((r) => r.text).join(' '),
    notes: first === undefined ? putupNotes(ask, putup, packed) : [],
    netKg: packed.netKg,
    grossKg: packed.grossKg,
    costEur: putup.costEur,
    packedEur: packed.cost.totalEur,
    cost: packed.cost,
    line: packed.line?.id ?? null,
    turnsPerLayer: turnsPerLayer(putup, cable.odMm, putupRules),
    layers: packed.state?.layer ?? null,
    layersMost: packed.winding?.layers ?? null,
    turns: packed.state?.turns ?? null,
    outerDiameterMm: packed.state?.outerDiameterMm ?? null,
    freeFlangeMm: packed.freeFlangeMm,
    usedPct: geometryM > 0 ? (100 * declaredM) / geometryM : null,
    barrelLimits: barrelLimits(cable, putup.barrelMm),
    coil: packed.coil,
    film: packed.film,
    footage: compareFootage(putup, cable.odMm, putupRules),
    squareM: stackedLength(putup, cable.odMm, putupRules, 'square').lengthM,
    nestedM: stackedLength(putup, cable.odMm, putupRules, 'nested').lengthM,
  }
}

function fitText(ask: PutupAsk, packed: PackedPutup, longestM: number): string {
  const used = Math.ceil((100 * ask.declaredM) / longestM - 1e-9)
  const state = packed.state
  const layers = state === null ? '' : `, ${state.layer} of ${packed.winding?.layers} layers`
  return `Takes up to ${(Math.floor(longestM * 10) / 10).toFixed(1)} m, so it is ${used} % used${layers}.`
}
