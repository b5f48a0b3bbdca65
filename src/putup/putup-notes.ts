import { barrelLimits } from './barrel-limits.ts'
import { putupCapacityM } from './capacity.ts'
import type { PackedPutup } from './packed-putup.ts'
import type { Putup } from './putup.ts'
import { HAND_LIFT_KG, type PutupAsk } from './putup-ask.ts'

/** Free flange that is customary on a drum, mm: 50 to 80 (common practice of the trade). */
const CUSTOMARY_FREE_FLANGE_MM = 50

/** What a person should look at although the put-up may be used. */
export function putupNotes(ask: PutupAsk, putup: Putup, packed: PackedPutup): string[] {
  return [
    ...geometryNotes(ask, putup, packed),
    ...barrelNotes(ask, putup),
    ...loadNotes(ask, putup, packed),
    ...filmNotes(packed),
  ]
}

function geometryNotes(ask: PutupAsk, putup: Putup, packed: PackedPutup): string[] {
  const notes: string[] = []
  const { cable } = ask
  const thickMm = cable.odMm + cable.odTolMm
  const thickM = putupCapacityM(putup, { odMm: thickMm }, ask.putupRules)
  if (ask.declaredM > thickM)
    notes.push(
      `At its largest permitted diameter, ${figure(thickMm)} mm, only ${(Math.floor(thickM * 10) / 10).toFixed(1)} m goes on.`,
    )
  if (packed.state?.overfull === true)
    notes.push(
      'With what is cut beyond the declared length it begins a layer more than the rule of the works allows; the rule looks at the declared length.',
    )
  const { freeFlangeMm } = packed
  if (putup.kind === 'drum' && freeFlangeMm !== null && freeFlangeMm < CUSTOMARY_FREE_FLANGE_MM)
    notes.push(
      `${freeFlangeMm.toFixed(0)} mm of flange stay free; on drums 50 to 80 mm are customary, the works asks ${figure(ask.putupRules.clearanceMinMm)} mm.`,
    )
  return notes
}

function barrelNotes({ cable }: PutupAsk, putup: Putup): string[] {
  return barrelLimits(cable, putup.barrelMm)
    .filter((limit) => !limit.binding && limit.kept !== true)
    .map(({ name, leastMm, source }) =>
      leastMm === null
        ? `Unknown: ${name} (${source}).`
        : `The barrel of ${figure(putup.barrelMm)} mm is below ${name}, ${figure(leastMm)} mm (${source}).`,
    )
}

function loadNotes(ask: PutupAsk, putup: Putup, packed: PackedPutup): string[] {
  const notes: string[] = []
  const handKg = ask.handLiftKg ?? HAND_LIFT_KG
  if (packed.grossKg > handKg)
    notes.push(
      `${packed.grossKg.toFixed(1)} kg gross is above the ${figure(handKg)} kg for one person: use a hoist or a truck.`,
    )
  if (putup.woodMark === 'unmarked' && ask.market === null)
    notes.push('Unmarked wood: only for markets without a rule on wood. Name the market to be sure.')
  return notes
}

function filmNotes({ film }: PackedPutup): string[] {
  if (film === null) return []
  if (film.rollMm === null)
    return [
      `No film of the works is wide enough: ${film.widthMinMm.toFixed(0)} mm at least; film is not in the cost.`,
    ]
  const needed = film.shrinkAcrossNeededPct ?? 0
  return needed > film.shrinkAcrossGivenPct
    ? [
        `The ${film.rollMm} mm film must shrink ${needed.toFixed(0)} % across to lie tight and gives ${figure(film.shrinkAcrossGivenPct)} %: its edges stay loose.`,
      ]
    : []
}

function figure(value: number): string {
  return String(Number(value.toFixed(2)))
}
