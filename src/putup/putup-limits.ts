import { putupCapacityM, putupLayers } from './capacity.ts'
import type { PackedPutup } from './packed-putup.ts'
import type { Putup } from './putup.ts'
import { declaredForKgM, HAND_LIFT_KG, type PutupAsk } from './putup-ask.ts'

/** What stands in the way of a put-up, or, where nothing does, what bounds the length on it. */
export type LimitedBy =
  | 'stays on site'
  | 'flange'
  | 'traverse'
  | 'barrel'
  | 'barrel unknown'
  | 'layers'
  | 'payload'
  | 'hand lifting'
  | 'wood'
  | 'take-up'

export interface PutupCapacity {
  /** By geometry alone, m. */
  geometryM: number
  /** The works' rule: geometry, then payload; 0 on a barrel that the cable may not be wound on. */
  capacityM: number
  /** Longest declared length that goes on, with what is cut beyond it, m; for a coil by hand lifting too. */
  longestM: number
  boundBy: Extract<LimitedBy, 'layers' | 'payload' | 'hand lifting'>
}

export function capacityOf(ask: PutupAsk, putup: Putup): PutupCapacity {
  const { cable } = ask
  const geometryM = putupCapacityM(putup, cable, ask.putupRules)
  const barred = cable.barrelMinMm !== null && putup.barrelMm < cable.barrelMinMm
  const bounds = [
    { boundBy: 'layers' as const, m: geometryM },
    { boundBy: 'payload' as const, m: declaredForKgM(ask, putup.payloadKg) },
    ...(putup.kind === 'coil'
      ? [{ boundBy: 'hand lifting' as const, m: declaredForKgM(ask, handLiftKg(ask) - putup.tareKg) }]
      : []),
  ]
  const least = bounds.reduce((a, b) => (b.m < a.m ? b : a))
  return {
    geometryM,
    capacityM: barred ? 0 : Math.min(geometryM, (putup.payloadKg * 1000) / cable.massKgKm),
    longestM: barred ? 0 : least.m,
    boundBy: least.boundBy,
  }
}

function handLiftKg(ask: PutupAsk): number {
  return ask.handLiftKg ?? HAND_LIFT_KG
}

export interface Refusal {
  limitedBy: LimitedBy
  text: string
}

/** Every reason why the asked length may not go on this put-up; none where it may. Each names what would put it right. */
export function refusalsOf(ask: PutupAsk, putup: Putup, packed: PackedPutup): Refusal[] {
  return [
    ...siteRefusal(putup),
    ...barrelRefusal(ask, putup),
    ...roomRefusal(ask, putup),
    ...loadRefusals(ask, putup, packed),
    ...woodRefusal(ask, putup),
    ...takeUpRefusal(ask, putup, packed),
  ]
}

function siteRefusal(putup: Putup): Refusal[] {
  if (putup.kind !== 'process_drum') return []
  return [{ limitedBy: 'stays on site', text: 'A process drum stays on site.' }]
}

function roomRefusal(ask: PutupAsk, putup: Putup): Refusal[] {
  const { cable, declaredM, putupRules } = ask
  const { flangeMm, barrelMm, traverseMm } = putup
  if (flangeMm !== null && barrelMm >= flangeMm) {
    const text = `Its barrel of ${figure(barrelMm)} mm is not below its flange of ${figure(flangeMm)} mm, so nothing can be wound: correct barrel_mm or flange_mm in putups.csv.`
    return [{ limitedBy: 'flange', text }]
  }
  const holdsM = putupCapacityM(putup, cable, putupRules)
  if (declaredM <= holdsM) return []
  if (holdsM > 0) {
    const text = `It holds ${down(holdsM)} m of ${cable.cable}; ${figure(declaredM, 2)} m is asked for.`
    return [{ limitedBy: 'layers', text }]
  }
  if (putupLayers(putup, cable.odMm, putupRules) > 0) {
    const text = `Its traverse of ${figure(traverseMm)} mm takes not one turn of ${figure(cable.odMm)} mm cable.`
    return [{ limitedBy: 'traverse', text }]
  }
  const text = `Between barrel and flange, less the clearance, there is not room for one layer of ${figure(cable.odMm)} mm cable.`
  return [{ limitedBy: 'layers', text }]
}

function barrelRefusal({ cable }: PutupAsk, putup: Putup): Refusal[] {
  if (cable.barrelMinMm === null) {
    const text = `The smallest barrel for ${cable.cable} is unknown, so nobody can say whether ${figure(putup.barrelMm)} mm harms it: enter barrel_min_mm in cables.csv.`
    return [{ limitedBy: 'barrel unknown', text }]
  }
  if (putup.barrelMm >= cable.barrelMinMm) return []
  const text = `Its barrel of ${figure(putup.barrelMm)} mm is below the ${figure(cable.barrelMinMm)} mm that ${cable.cable} may be wound on.`
  return [{ limitedBy: 'barrel', text }]
}

function loadRefusals(ask: PutupAsk, putup: Putup, packed: PackedPutup): Refusal[] {
  const found: Refusal[] = []
  if (packed.netKg > putup.payloadKg) {
    const text = `It carries ${figure(putup.payloadKg)} kg; the cable has ${up(packed.netKg)} kg.`
    found.push({ limitedBy: 'payload', text })
  }
  if (putup.kind === 'coil' && packed.netKg + putup.tareKg > handLiftKg(ask)) {
    const text = `The coil has ${up(packed.netKg + putup.tareKg)} kg; by hand one person lifts at most ${figure(handLiftKg(ask))} kg, and that only upright and close (NIOSH 94-110).`
    found.push({ limitedBy: 'hand lifting', text })
  }
  return found
}

/** Wood in international trade, as ISPM 15 is summarised: core temperature, time, and the thickness below which wood is exempt. */
export const WOOD_TREATMENT = { coreC: 56, minutes: 30, exemptBelowMm: 6 } as const

function woodRefusal({ market }: PutupAsk, putup: Putup): Refusal[] {
  if (putup.woodMark !== 'unmarked' || market === null || market.woodRule === 'none') return []
  const { coreC, minutes, exemptBelowMm } = WOOD_TREATMENT
  const text = `Market ${market.market} refuses unmarked wood (ISPM 15: core at ${coreC} °C for ${minutes} min and marked; exempt are plywood and wood below ${exemptBelowMm} mm).`
  return [{ limitedBy: 'wood', text }]
}

function takeUpRefusal({ cable }: PutupAsk, putup: Putup, packed: PackedPutup): Refusal[] {
  // a process drum is refused already, and no take-up list names it
  if (packed.line !== null || putup.kind === 'process_drum') return []
  const text = `No line that takes ${figure(cable.odMm)} mm cable has it on its take-up list (lines.json takeup_putups).`
  return [{ limitedBy: 'take-up', text }]
}

function figure(value: number, decimals = 1): string {
  return String(Number(value.toFixed(decimals)))
}

/** What is there is never rounded up, what is needed never down; what is a tenth already stays. */
function down(value: number): string {
  return (Math.floor(value * 10 + 1e-6) / 10).toFixed(1)
}

function up(value: number): string {
  return (Math.ceil(value * 10 - 1e-6) / 10).toFixed(1)
}
