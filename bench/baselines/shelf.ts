import type { CableType } from '../../src/cable/cable-type.ts'
import { leadCutUm } from '../../src/lead/cut-length.ts'
import { BENCH_MAX_KG, threadedPathM } from '../../src/line/mountable.ts'
import { allowsFault } from '../../src/order/faults-allowed.ts'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { Catalog } from '../../src/plan/catalog.ts'
import { putupCapacityM } from '../../src/putup/capacity.ts'
import type { Putup } from '../../src/putup/putup.ts'
import type { Stretch, UsableDrum } from '../../src/strip/usable.ts'

/** A piece, or a bench length of leads, that has been given a place. */
export interface Placed extends Stretch {
  line: OrderLine
  piece: number
  part: number
  count: number
  declaredUm: number
  putup: string | null
}

/** A drum while pieces are being given to it. */
export interface ShelfDrum {
  usable: UsableDrum
  cable: CableType
  /** Clean and not yet spoken for. */
  gaps: Stretch[]
  placed: Placed[]
  /** Rewinding lines and benches that can still run all of its pieces. */
  runners: string[]
}

/** A place that a piece would fit. */
export interface Room {
  drum: ShelfDrum
  fromUm: number
  toUm: number
  putup: string | null
}

export function shelfOf(catalog: Catalog): ShelfDrum[] {
  return [...catalog.drums.values()]
    .filter((u) => u.drum.status === 'free' && catalog.cables.has(u.drum.cable))
    .map((usable) => {
      const cable = catalog.cables.get(usable.drum.cable)!
      return {
        usable,
        cable,
        gaps: [...usable.clean],
        placed: [],
        runners: runnersOf(catalog, usable, cable),
      }
    })
}

function runnersOf(catalog: Catalog, { drum }: UsableDrum, cable: CableType): string[] {
  const flangeMm = catalog.putups.get(drum.putup)?.flangeMm ?? 0
  const lines = [...catalog.lines.values()].filter(
    (l) =>
      cable.odMm >= l.odMinMm &&
      cable.odMm <= l.odMaxMm &&
      drum.grossKg <= l.payoffMaxKg &&
      flangeMm <= l.payoffMaxDrumMm &&
      drum.bookUm / 1e6 >= threadedPathM(l),
  )
  const bench = drum.kind === 'remnant' && drum.grossKg <= BENCH_MAX_KG
  return [...lines.map((l) => l.id), ...(bench ? catalog.benches.keys() : [])]
}

/** What a bulk piece takes from the drum. */
export function takenUm(catalog: Catalog, declaredUm: number): number {
  const { lengthGuardRatio, pieceTrimUm } = catalog.input.site.cutRules
  return Math.ceil(declaredUm * (1 + lengthGuardRatio) + pieceTrimUm)
}

/** The most that may be declared of a stretch. */
export function declarableUm(catalog: Catalog, stretchUm: number): number {
  const { lengthGuardRatio, pieceTrimUm } = catalog.input.site.cutRules
  return Math.floor((stretchUm - pieceTrimUm) / (1 + lengthGuardRatio)) - 1
}

export function leadUm(catalog: Catalog, line: OrderLine): { cutUm: number; eachUm: number } {
  const part = (id: string | null) => (id === null ? null : (catalog.connectors.get(id) ?? null))
  const cutUm = leadCutUm(line.lengthUm, line.lengthDefinition, part(line.connA), part(line.connB))
  return { cutUm, eachUm: cutUm + catalog.input.site.cutRules.leadTrimUm }
}

/** Gaps of a drum less the faults that this line may not contain. */
function allowedGaps(drum: ShelfDrum, line: OrderLine): Stretch[] {
  let gaps = drum.gaps
  for (const zone of drum.usable.zones)
    if (!allowsFault(line, zone.fault)) gaps = gaps.flatMap((gap) => without(gap, zone))
  return gaps
}

function without(gap: Stretch, taken: Stretch): Stretch[] {
  if (taken.toUm <= gap.fromUm || taken.fromUm >= gap.toUm) return [gap]
  return [
    { fromUm: gap.fromUm, toUm: taken.fromUm },
    { fromUm: taken.toUm, toUm: gap.toUm },
  ].filter((g) => g.toUm > g.fromUm)
}

/** Every place for a bulk piece of at least this declared length, drums in shelf order, from the outer end. */
export function bulkRooms(catalog: Catalog, shelf: ShelfDrum[], line: OrderLine, declaredUm: number): Room[] {
  const needUm = takenUm(catalog, declaredUm)
  return shelf.flatMap((drum) => {
    if (drum.usable.drum.cable !== line.cable) return []
    const rooms = allowedGaps(drum, line).filter((g) => g.toUm - g.fromUm >= needUm)
    if (rooms.length === 0) return []
    const putup = putupFor(catalog, drum, line, declaredUm)
    return putup === null ? [] : rooms.map((r) => ({ drum, ...r, putup }))
  })
}

export function leadRooms(catalog: Catalog, shelf: ShelfDrum[], line: OrderLine): Room[] {
  const { eachUm } = leadUm(catalog, line)
  return shelf.flatMap((drum) => {
    if (drum.usable.drum.cable !== line.cable || drum.runners.length === 0) return []
    const rooms = allowedGaps(drum, line).filter((g) => g.toUm - g.fromUm >= eachUm)
    return rooms.map((r) => ({ drum, ...r, putup: null }))
  })
}

/** The ordered put-up, or the cheapest where the works may choose, if a line that can still run the drum winds it. */
function putupFor(catalog: Catalog, drum: ShelfDrum, line: OrderLine, declaredUm: number): string | null {
  const marked = catalog.markets.get(line.market)?.woodRule === 'ispm15'
  const fits = catalog.input.putups.filter(
    (p) =>
      (line.putup === null ? p.kind !== 'process_drum' : p.putup === line.putup) &&
      !(marked && p.woodMark === 'unmarked') &&
      holds(catalog, p, drum.cable, declaredUm, takenUm(catalog, declaredUm)) &&
      drum.runners.some((id) => catalog.lines.get(id)?.takeupPutups.includes(p.putup)),
  )
  return fits.sort((a, b) => a.costEur - b.costEur)[0]?.putup ?? null
}

export function holds(
  catalog: Catalog,
  putup: Putup,
  cable: CableType,
  declaredUm: number,
  woundUm: number,
): boolean {
  return (
    putup.barrelMm >= cable.barrelMinMm &&
    ((woundUm / 1e6) * cable.massKgKm) / 1000 <= putup.payloadKg &&
    declaredUm / 1e6 <= putupCapacityM(putup, cable, catalog.input.site.putupRules)
  )
}

/** Puts a piece at the outer end of its room. */
export function place(
  catalog: Catalog,
  room: Room,
  lengthUm: number,
  piece: Omit<Placed, keyof Stretch>,
): void {
  const { drum, fromUm } = room
  const taken = { fromUm, toUm: fromUm + lengthUm }
  drum.gaps = drum.gaps.flatMap((gap) => without(gap, taken))
  drum.placed.push({ ...piece, ...taken })
  const { putup } = piece
  if (putup !== null)
    drum.runners = drum.runners.filter((id) => catalog.lines.get(id)?.takeupPutups.includes(putup))
}

/** What `restore` needs to undo everything that is placed from here on. */
export function remember(shelf: ShelfDrum[]): () => void {
  const kept = shelf.map(({ gaps, placed, runners }) => ({ gaps, placed: [...placed], runners }))
  return () => {
    for (const [i, drum] of shelf.entries()) Object.assign(drum, kept[i])
  }
}
