import type { CableType } from '../cable/cable-type.ts'
import type { Bench } from '../hall/bench.ts'
import type { RewindingLine } from '../hall/rewinding-line.ts'
import { BENCH_MAX_KG, canThread } from '../line/mountable.ts'
import { putupCapacityM } from '../putup/capacity.ts'
import type { LengthUm } from '../quantity/length.ts'
import { type MicroEur, microFromEur } from '../quantity/money.ts'
import type { FaultZone, Stretch, UsableDrum } from '../strip/usable.ts'
import type { Catalog } from './catalog.ts'
import { type Item, itemAllows, leastCutUm } from './item.ts'
import {
  benchMountMicro,
  lineMountMicro,
  materialMicroPerM,
  putupChangeMicro,
  SHORT_REST_UM,
  scrapMicroPerM,
  stretchValueMicro,
  windOffMicro,
} from './tariff.ts'

/** A put-up that a rest of this cable can be wound off to on a line. */
interface WindOffPutup {
  putup: string
  mostUm: LengthUm
  costMicro: MicroEur
}

/** Where a drum may be mounted. */
export interface Place {
  id: string
  line: RewindingLine | null
  bench: Bench | null
  mountMicro: MicroEur
  changeMicro: MicroEur
  windOffs: WindOffPutup[]
}

/** A stretch to be filled with pieces. Where one overlaps the next, the pieces of the next begin where its own end. */
export interface Fillable extends Stretch {
  /** By item: may lie here. */
  allowed: boolean[]
}

/** A fault that some items allow, as the bound sees it: what may not hold it lies before or after it. */
export interface SoftFault {
  /** Length of the stretch before it and after it. */
  beforeUm: LengthUm
  afterUm: LengthUm
  /** By item. */
  allowed: boolean[]
}

/** A stretch as the bound sees it: with faults, and with what follows from them. */
export interface Relaxed extends Fillable {
  faults: SoftFault[]
  /** By item: no more copies have room between the faults that it may not hold. */
  mostCopies: number[]
}

/** A part of a clean stretch as the bound sees it: between faults that no order line allows. */
export interface RelaxedPart extends Relaxed {
  /** Clean length beyond it in its clean stretch. */
  insideUm: LengthUm
}

/** A drum as a choice: where it may be mounted, what fits where, what its rest is worth. */
export interface DrumModel {
  usable: UsableDrum
  cable: CableType
  places: Place[]
  /**
   * Ways to divide the drum into stretches of one kind, so that a piece lies within one of them: at each edge of a fault; with
   * edges that slide; at no fault that some piece may hold.
   */
  divisions: Fillable[][]
  /** A relaxation of them all, for the bound: the clean stretches, with faults that some lines allow. */
  relaxed: Relaxed[]
  /** The same, but divided where a fault lies that none of the order lines allows. */
  parts: RelaxedPart[]
  /** By item: lies somewhere on this drum, on a line or bench that takes it. */
  fits: boolean[]
  valueBeforeMicro: MicroEur
  scrapMicroPerUm: number
  /** Value of what is clean from a place inwards. */
  keptFromMicro: (placeUm: LengthUm) => MicroEur
  /** Value of one clean length. */
  valueMicro: (lengthUm: LengthUm) => MicroEur
  /** Put-up number of what was wound last in a mounting that goes on; null where nothing was. */
  lastGroup: number | null
}

/** null where no line and no bench takes the drum, or nothing on it is clean. */
export function drumModel(
  catalog: Catalog,
  usable: UsableDrum,
  cable: CableType,
  items: Item[],
): DrumModel | null {
  const places = placesOf(catalog, usable, cable, items)
  if (places.length === 0 || usable.clean.length === 0) return null
  const { costs } = catalog.input
  const perM = materialMicroPerM(costs, cable.cable)
  const valueMicro = (lengthUm: LengthUm) => stretchValueMicro(perM, cable.minKeepUm, lengthUm)
  const keptFromMicro = (placeUm: LengthUm) =>
    usable.clean.reduce((sum, s) => sum + valueMicro(s.toUm - Math.max(placeUm, s.fromUm)), 0)
  const divisions = divisionsOf(usable, items)
  const relaxed = usable.clean.map((clean) => {
    const fine = divisions[0]!.filter((f) => f.fromUm >= clean.fromUm && f.toUm <= clean.toUm)
    return relaxedOf(clean, fine, usable, items)
  })
  return {
    usable,
    cable,
    places,
    divisions,
    relaxed,
    parts: partsOf(usable, divisions[0]!, items),
    fits: items.map(
      (item) =>
        relaxed.some((f) => f.allowed[item.index]) &&
        places.some((p) => item.options.some((o) => placeTakes(p, item, o.putup))),
    ),
    valueBeforeMicro: keptFromMicro(0),
    scrapMicroPerUm: scrapMicroPerM(costs, cable) / 1e6,
    keptFromMicro,
    valueMicro,
    lastGroup: null,
  }
}

function relaxedOf(stretch: Stretch, fine: Fillable[], usable: UsableDrum, items: Item[]): Relaxed {
  const { fromUm, toUm } = stretch
  const mostCopies = items.map((item) =>
    runsUm(item, fine).reduce((sum, runUm) => sum + Math.floor(runUm / leastCutUm(item)), 0),
  )
  const faults = usable.zones.flatMap((zone) =>
    zone.fault.severity !== 'cut_out' && overlap(zone, stretch)
      ? {
          beforeUm: Math.max(0, zone.fromUm - fromUm),
          afterUm: Math.max(0, toUm - zone.toUm),
          allowed: items.map((item) => itemAllows(item, zone.fault)),
        }
      : [],
  )
  return { fromUm, toUm, allowed: mostCopies.map((n) => n > 0), faults, mostCopies }
}

/** Lengths of the stretches of neighbouring parts that may lie in one piece of this item. */
function runsUm(item: Item, parts: Fillable[]): LengthUm[] {
  const runs = [0]
  for (const part of parts)
    if (part.allowed[item.index]) runs[runs.length - 1]! += part.toUm - part.fromUm
    else runs.push(0)
  return runs
}

function partsOf(usable: UsableDrum, fine: Fillable[], items: Item[]): RelaxedPart[] {
  const parts: RelaxedPart[] = []
  for (const clean of usable.clean) {
    const barred = fine.filter(
      (f) => f.fromUm >= clean.fromUm && f.toUm <= clean.toUm && !f.allowed.some(Boolean),
    )
    let at = clean.fromUm
    for (const gap of [...barred, { fromUm: clean.toUm, toUm: clean.toUm }]) {
      if (gap.fromUm > at) {
        const within = fine.filter((f) => f.fromUm >= at && f.toUm <= gap.fromUm)
        const part = relaxedOf({ fromUm: at, toUm: gap.fromUm }, within, usable, items)
        parts.push({ ...part, insideUm: clean.toUm - gap.fromUm })
      }
      at = gap.toUm
    }
  }
  return parts
}

/** Whether a line winds, or a bench cuts, this item on this put-up. */
export function placeTakes(place: Place, item: Item, putup: string | null): boolean {
  if (item.lead) return true
  return place.line !== null && putup !== null && place.line.takeupPutups.includes(putup)
}

function placesOf(catalog: Catalog, usable: UsableDrum, cable: CableType, items: Item[]): Place[] {
  const { drum } = usable
  const { costs } = catalog.input
  const places: Place[] = []
  for (const line of catalog.input.site.lines) {
    if (cable.odMm < line.odMinMm || cable.odMm > line.odMaxMm) continue
    if (
      drum.grossKg > line.payoffMaxKg ||
      (catalog.putups.get(drum.putup)?.flangeMm ?? 0) > line.payoffMaxDrumMm
    )
      continue
    if (!canThread(drum, line)) continue
    places.push({
      id: line.id,
      line,
      bench: null,
      // where a change of cable were the cheaper mounting, the lower figure keeps the bound below every plan
      mountMicro: Math.min(lineMountMicro(line, costs, false), lineMountMicro(line, costs, true)),
      changeMicro: putupChangeMicro(line),
      windOffs: windOffsOf(catalog, line, cable),
    })
  }
  // a bench cuts leads only
  if (drum.kind === 'remnant' && drum.grossKg <= BENCH_MAX_KG && items.some((item) => item.lead)) {
    const benches = [...catalog.benches.values()].sort((a, b) => a.rateEurH - b.rateEurH)
    const bench = benches[0] // one cutting bench is like another but for its rate
    if (bench)
      places.push({
        id: bench.id,
        line: null,
        bench,
        mountMicro: benchMountMicro(bench),
        changeMicro: 0,
        windOffs: [],
      })
  }
  return places
}

function windOffsOf(catalog: Catalog, line: RewindingLine, cable: CableType): WindOffPutup[] {
  const found: WindOffPutup[] = []
  for (const putup of catalog.input.putups) {
    if (
      putup.kind === 'process_drum' ||
      putup.barrelMm < cable.barrelMinMm ||
      !line.takeupPutups.includes(putup.putup)
    )
      continue
    const capacityUm = putupCapacityM(putup, cable, catalog.input.site.putupRules) * 1e6
    const payloadUm = ((putup.payloadKg * 1000) / cable.massKgKm) * 1e6
    const mostUm = Math.floor(Math.min(capacityUm, payloadUm) - 1)
    if (mostUm > 0) found.push({ putup: putup.putup, mostUm, costMicro: microFromEur(putup.costEur) })
  }
  return found.sort((a, b) => a.costMicro - b.costMicro || b.mostUm - a.mostUm)
}

/** Cheapest way to wind off a rest on a line; null where no put-up holds it or the place is a bench. */
export function cheapestWindOff(
  catalog: Catalog,
  place: Place,
  lengthUm: LengthUm,
): { putup: string; costMicro: MicroEur } | null {
  if (!place.line) return null
  const putup = place.windOffs.find((w) => w.mostUm >= lengthUm)
  return putup
    ? {
        putup: putup.putup,
        costMicro: putup.costMicro + windOffMicro(place.line, catalog.input.costs, lengthUm),
      }
    : null
}

/** Where a rest may well begin: at once, or beyond a fault, where what lies before that is worth more as scrap. */
export function restsFromUm({ usable }: DrumModel, atUm: LengthUm): LengthUm[] {
  return [atUm, ...usable.clean.map((s) => s.fromUm).filter((fromUm) => fromUm > atUm)]
}

/** What a rest that stays costs: a short one on a process drum has to be wound off by somebody. */
export function shortRestMicro(catalog: Catalog, model: DrumModel, place: Place, restUm: LengthUm): MicroEur {
  if (!place.line || model.usable.drum.kind !== 'process_drum' || restUm >= SHORT_REST_UM) return 0
  return windOffMicro(place.line, catalog.input.costs, restUm)
}

/**
 * Divides the clean stretches at the faults that only some lines allow: finest first (each such fault a stretch of its own, open
 * to the lines that allow it), then with pieces across each fault that begin and end where they like, then with pieces across as
 * many faults as they like. A fault that no line allows divides always.
 */
function divisionsOf(usable: UsableDrum, items: Item[]): Fillable[][] {
  const finest: Fillable[] = []
  const sliding: Fillable[] = []
  const joined: Fillable[] = []
  const soft = usable.zones.filter((z) => z.fault.severity !== 'cut_out')
  const fillable = (stretch: Stretch, across: FaultZone[]): Fillable => ({
    fromUm: stretch.fromUm,
    toUm: stretch.toUm,
    allowed: items.map(
      (item) => !item.barred.has(usable.drum.drum) && across.every((z) => itemAllows(item, z.fault)),
    ),
  })
  const zonesIn = (stretch: Stretch) => soft.filter((z) => overlap(z, stretch))
  for (const clean of usable.clean) {
    const within = zonesIn(clean)
    finest.push(...dividedAt(clean, within).map((part) => fillable(part, zonesIn(part))))
    const never = within.filter((z) => !items.some((item) => itemAllows(item, z.fault)))
    for (const part of dividedAt(clean, never)) {
      const across = zonesIn(part)
      joined.push(fillable(part, across))
      sliding.push(...slidingIn(part, across, fillable))
    }
  }
  const anyJoined = joined.some((part) => part.allowed.some(Boolean) && zonesIn(part).length > 0)
  return anyJoined ? [finest, sliding, joined] : [finest]
}

function overlap(a: Stretch, b: Stretch): boolean {
  return a.fromUm < b.toUm && a.toUm > b.fromUm
}

/** The parts of a stretch between the edges of these zones, and the zones themselves. */
function dividedAt(within: Stretch, zones: FaultZone[]): Stretch[] {
  const inside = (placeUm: LengthUm) => Math.min(within.toUm, Math.max(within.fromUm, placeUm))
  const edges = new Set([
    within.fromUm,
    ...zones.flatMap((z) => [inside(z.fromUm), inside(z.toUm)]),
    within.toUm,
  ])
  const sorted = [...edges].sort((a, b) => a - b)
  return sorted.slice(1).map((toUm, i) => ({ fromUm: sorted[i]!, toUm }))
}

/** Before each fault the pieces that may not hold it, then those that may, across it and no other; at last what lies inside them all. */
function slidingIn(
  part: Stretch,
  across: FaultZone[],
  fillable: (stretch: Stretch, across: FaultZone[]) => Fillable,
): Fillable[] {
  const clusters: { fromUm: LengthUm; toUm: LengthUm; zones: FaultZone[] }[] = []
  for (const zone of across) {
    const last = clusters.at(-1)
    if (last && zone.fromUm < last.toUm) {
      last.toUm = Math.max(last.toUm, zone.toUm)
      last.zones.push(zone)
    } else clusters.push({ fromUm: zone.fromUm, toUm: zone.toUm, zones: [zone] })
  }
  const stretches: Fillable[] = []
  let fromUm = part.fromUm
  for (const [c, { fromUm: edgeUm, toUm, zones }] of clusters.entries()) {
    stretches.push(fillable({ fromUm, toUm: edgeUm }, []))
    stretches.push(fillable({ fromUm, toUm: clusters[c + 1]?.fromUm ?? part.toUm }, zones))
    fromUm = toUm
  }
  stretches.push(fillable({ fromUm, toUm: part.toUm }, []))
  return stretches.filter((s) => s.toUm > s.fromUm && s.allowed.some(Boolean))
}
