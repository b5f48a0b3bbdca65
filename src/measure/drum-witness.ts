import type { CableType } from '../cable/cable-type.ts'
import type { Putup } from '../putup/putup.ts'
import type { PutupRules } from '../putup/putup-rules.ts'
import { lengthAtTurnsM, windingOf } from '../putup/winding.ts'
import { type LengthUm, umFromM } from '../quantity/length.ts'
import type { Drum } from '../strip/drum.ts'
import type { MarkSegment } from '../strip/mark-segment.ts'
import { printedSpanUm } from '../strip/usable.ts'
import { lineThroughNought } from './straight-line.ts'
import { rectangular } from './uncertainty.ts'
import type { Witness } from './witness.ts'

/** The book follows a length counter: claimed errors of the works' counters are 0.1 to 0.2 %, so ±0.35 % at the outside (estimate). */
export const BOOK_HALF_RATIO = 0.0035
/** What is written to 0.1 m may be half of it off. */
const WRITTEN_HALF_UM = 50_000
/** The factor of a print is off by 0.1 to 0.3 % (common practice of the trade); the larger one is taken. */
export const PRINT_HALF_RATIO = 0.003
/** A mark at an end is read to half a unit. */
export const READ_HALF_MARKS = 0.5
/** Cable of one type differs in mass by 1 to 2 % (common practice of the trade); the larger one is taken. */
const MASS_HALF_RATIO = 0.02
/** Weights are written to 0.1 kg. */
const SCALE_HALF_KG = 0.05
/** Conductor resistance differs by about ±2 % within a type (common practice; a works' lot test narrows it). */
const LOOP_HALF_RATIO = 0.02
/** Copper: resistance per kelvin about 20 °C, IEC 60028. */
const COPPER_PER_K = 0.00393
/** A taped or metered temperature stands for the whole drum to ±3 K (estimate). */
const TEMPERATURE_HALF_K = 3
const SPEED_OF_LIGHT_M_S = 299_792_458

export function bookWitness(drum: Drum): Witness {
  return {
    kind: 'book',
    lengthUm: drum.bookUm,
    standardUm: Math.ceil(
      Math.hypot(rectangular(BOOK_HALF_RATIO * drum.bookUm), rectangular(WRITTEN_HALF_UM)),
    ),
    from: 'books; ±0.35 % by the counter that wrote them, written to 0.1 m',
  }
}

/** A factor of the print learned from taped pieces of the lot. */
export interface PrintFactor {
  umPerMark: number
  standardUm: number
}

/** k = L_tape/ΔM from pieces that were taped and read, a line through nought; null below two. */
export function printFactor(taped: { tapeUm: LengthUm; marks: number }[]): PrintFactor | null {
  const fit = lineThroughNought(
    taped.map((t) => t.marks),
    taped.map((t) => t.tapeUm),
  )
  return fit ? { umPerMark: fit.slope, standardUm: fit.slopeSd } : null
}

/** The printed span; null where part of the drum has no print. A learned factor takes the place of the nominal one. */
export function marksWitness(segments: MarkSegment[], learned: PrintFactor | null = null): Witness | null {
  let lengthUm = 0
  let readVar = 0
  let marks = 0
  for (const segment of segments) {
    const span = printedSpanUm(segment)
    if (span === null) return null
    const count = Math.abs(segment.markTo! - segment.markFrom!)
    marks += count
    lengthUm += learned ? count * learned.umPerMark : span
    const perMark = learned?.umPerMark ?? (count > 0 ? span / count : 0)
    readVar += 2 * rectangular(READ_HALF_MARKS * perMark) ** 2
  }
  if (segments.length === 0) return null
  const factorUm = learned ? marks * learned.standardUm : rectangular(PRINT_HALF_RATIO * lengthUm)
  return {
    kind: 'marks',
    lengthUm: Math.round(lengthUm),
    standardUm: Math.ceil(Math.hypot(factorUm, Math.sqrt(readVar))),
    from: learned
      ? 'jacket marks; factor of the print from taped pieces'
      : 'jacket marks; ±0.3 % by the factor of the print, ends read to half a mark',
  }
}

/** (gross − tare) over the mass per metre; null where the drum weighs no more than its tare. */
export function weighedWitness(drum: Drum, cable: Pick<CableType, 'massKgKm'>): Witness | null {
  const netKg = drum.grossKg - drum.tareKg
  if (!(netKg > 0)) return null
  const kgPerM = cable.massKgKm / 1000
  const scaleM = (Math.SQRT2 * rectangular(SCALE_HALF_KG)) / kgPerM
  return {
    kind: 'weight',
    lengthUm: umFromM(netKg / kgPerM),
    standardUm: Math.ceil(umFromM(Math.hypot(rectangular(MASS_HALF_RATIO * (netKg / kgPerM)), scaleM))),
    from: 'gross less tare over kg/km; mass of the type ±2 %, both weights written to 0.1 kg',
  }
}

/** L = R_loop/(R′·(1 + 0.00393·(T − 20))), R′ of both conductors; null where the reading is not above nought. */
export function loopWitness(
  { loopOhm, standardOhm, tempC }: { loopOhm: number; standardOhm: number; tempC: number },
  cable: Pick<CableType, 'rInnerOhmKm' | 'rOuterOhmKm'>,
): Witness | null {
  if (!(loopOhm > 0)) return null
  const ohmPerM = ((cable.rInnerOhmKm + cable.rOuterOhmKm) / 1000) * (1 + COPPER_PER_K * (tempC - 20))
  const lengthM = loopOhm / ohmPerM
  const ratio = Math.hypot(
    rectangular(LOOP_HALF_RATIO),
    rectangular(COPPER_PER_K * TEMPERATURE_HALF_K),
    standardOhm / loopOhm,
  )
  return {
    kind: 'loop',
    lengthUm: umFromM(lengthM),
    standardUm: Math.ceil(umFromM(lengthM * ratio)),
    from: 'loop resistance; ohm/km of the type ±2 %, temperature of the drum ±3 K',
  }
}

/** L = v·t/2 from the time to the far end and back, v of the type with its spread from lot to lot; null where the time is not above nought. */
export function reflectometryWitness(
  { roundTripNs, standardNs }: { roundTripNs: number; standardNs: number },
  cable: Pick<CableType, 'velocityRatio' | 'velocityLotSpreadPct'>,
): Witness | null {
  if (!(roundTripNs > 0)) return null
  const lengthM = (cable.velocityRatio * SPEED_OF_LIGHT_M_S * roundTripNs * 1e-9) / 2
  const ratio = Math.hypot(rectangular(cable.velocityLotSpreadPct / 100), standardNs / roundTripNs)
  return {
    kind: 'reflectometry',
    lengthUm: umFromM(lengthM),
    standardUm: Math.ceil(umFromM(lengthM * ratio)),
    from: `time to the far end and back; velocity ±${cable.velocityLotSpreadPct} % from lot to lot`,
  }
}

/** How closely layers lie is known to ±0.05 of a diameter (estimate; 1 is square, 0.866 fully nested). */
const LAYER_FACTOR_HALF = 0.05
/** A counted turn may be begun or ended within half of one. */
const TURN_HALF = 0.5

/** Turns of the take-up and the geometry of the layers; null where the cable finds no room on the put-up. */
export function turnsWitness(
  turns: number,
  putup: Putup,
  cable: Pick<CableType, 'odMm' | 'odTolMm'>,
  rules: PutupRules,
): Witness | null {
  const lengthM = (odMm: number, layerFactor: number, count: number) => {
    const winding = windingOf(putup, odMm, rules)
    return winding ? lengthAtTurnsM({ ...winding, layerFactor }, count) : null
  }
  const { odMm, odTolMm } = cable
  const middle = lengthM(odMm, rules.layerFactor, turns)
  if (middle === null || !(turns > 0)) return null
  const off = (value: number | null) => (value === null ? 0 : Math.abs(value - middle))
  const standardM = Math.hypot(
    rectangular(off(lengthM(odMm + odTolMm, rules.layerFactor, turns))),
    rectangular(off(lengthM(odMm, rules.layerFactor + LAYER_FACTOR_HALF, turns))),
    rectangular(off(lengthM(odMm, rules.layerFactor, turns + TURN_HALF))),
  )
  return {
    kind: 'turns',
    lengthUm: umFromM(middle),
    standardUm: Math.ceil(umFromM(standardM)),
    from: 'turns of the take-up; diameter within its tolerance, layers ±0.05 of a diameter, ±half a turn',
  }
}
