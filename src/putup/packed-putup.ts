import { type CoilSize, coilSize } from './coil.ts'
import { type FilmSleeve, filmSleeve } from './film-sleeve.ts'
import type { Putup } from './putup.ts'
import { cutLengthM, type PutupAsk, type TakeUpLine } from './putup-ask.ts'
import { outerDiameterMm, type Winding, type WoundState, windingAt, windingOf } from './winding.ts'

/** One put-up with the asked length on it: sizes, masses and money, whether it may be used or not. */
export interface PackedPutup {
  winding: Winding | null
  /** Null where not one turn finds room. */
  state: WoundState | null
  /** Flange above the cable, mm; null for a coil, and where nothing can be wound. */
  freeFlangeMm: number | null
  coil: CoilSize | null
  film: FilmSleeve | null
  netKg: number
  grossKg: number
  /** Cheapest line that winds it; null where none does. */
  line: TakeUpLine | null
  cost: PackedCost
}

export interface PackedCost {
  /** The put-up itself, as plans count it. */
  putupEur: number
  filmEur: number
  ovenEur: number
  tiesEur: number
  /** Cutting, tying and labelling one piece at the line's rate. */
  handlingEur: number
  totalEur: number
}

export function packedPutup(ask: PutupAsk, putup: Putup): PackedPutup {
  const { cable } = ask
  const cutM = cutLengthM(ask, ask.declaredM)
  const winding = windingOf(putup, cable.odMm, ask.putupRules)
  const state = winding === null ? null : windingAt(winding, cutM)
  const coil =
    putup.kind === 'coil' && winding !== null && state !== null
      ? coilSize(putup.barrelMm, outerDiameterMm(winding, state.layer), putup.traverseMm)
      : null
  const film =
    coil !== null && ask.oven !== null && /film/i.test(putup.cover ?? '') ? filmSleeve(coil, ask.oven) : null
  const netKg = (cutM * cable.massKgKm) / 1000
  const line = cheapestLine(ask, putup)
  return {
    winding,
    state,
    freeFlangeMm:
      putup.flangeMm === null || state === null ? null : (putup.flangeMm - state.outerDiameterMm) / 2,
    coil,
    film,
    netKg,
    grossKg: netKg + putup.tareKg + (film?.massKg ?? 0),
    line,
    cost: packedCost(ask, putup, coil, film, line),
  }
}

function packedCost(
  ask: PutupAsk,
  putup: Putup,
  coil: CoilSize | null,
  film: FilmSleeve | null,
  line: TakeUpLine | null,
): PackedCost {
  const filmEur = film?.filmEur ?? 0
  const ovenEur = (film?.ovenKwh ?? 0) * ask.costs.electricityEurKwh
  const tiesEur = coil === null ? 0 : (coil.ties * coil.tieMm * ask.costs.strapEurM) / 1000
  const handlingEur = line === null ? 0 : handlingOn(line, putup)
  const totalEur = putup.costEur + filmEur + ovenEur + tiesEur + handlingEur
  return { putupEur: putup.costEur, filmEur, ovenEur, tiesEur, handlingEur, totalEur }
}

function handlingOn(line: TakeUpLine, putup: Putup): number {
  const kind = putup.kind === 'process_drum' ? 'drum' : putup.kind
  return (line.cutTieLabelS[kind] * line.rateEurH) / 3600
}

function cheapestLine(ask: PutupAsk, putup: Putup): TakeUpLine | null {
  const { odMm } = ask.cable
  return ask.lines
    .filter((l) => l.takeupPutups.includes(putup.putup) && odMm >= l.odMinMm && odMm <= l.odMaxMm)
    .reduce<TakeUpLine | null>(
      (best, l) => (best !== null && handlingOn(best, putup) <= handlingOn(l, putup) ? best : l),
      null,
    )
}
