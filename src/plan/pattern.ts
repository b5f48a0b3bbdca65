import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { UsableDrum } from '../strip/usable.ts'
import type { Catalog } from './catalog.ts'
import { cheapestWindOff, type DrumModel, type Fillable, type Place, shortRestMicro } from './drum-model.ts'
import { bulkCutUm, declaredOfCutUm, type Item, sideBySideUm } from './item.ts'
import { orderPutups } from './putup-order.ts'
import { chained } from './stretch-chain.ts'
import type { Taken } from './stretch-fill.ts'
import { materialMicro } from './tariff.ts'

const TOO_SHORT = 'too short to keep'

/** What a mounting does with one interval, before it is known which order line gets which piece. */
export type LaidInterval = { fromUm: LengthUm; toUm: LengthUm } & (
  | { use: 'piece'; item: number; option: number; declaredUm: LengthUm }
  | { use: 'scrap'; cause: string }
  | { use: 'end' }
  | { use: 'remnant'; putup: string | null }
)

/** One way to cut one drum in one mounting, priced exactly. Many are kept, so its intervals are laid out again when wanted. */
export interface Pattern {
  drum: number
  place: number
  /** Number of the division it was filled by, and what was taken from each stretch: enough to lay it out again. */
  division: number
  taken: Taken[][]
  /** By item: pieces, or for a piece in parts the share of it. */
  amounts: Map<number, number>
  /** Parts of a piece that comes in parts, by item. */
  parts: Map<number, LengthUm[]>
  /** As the tariff has it, but without the credit for what is delivered in full, which no pattern can change. */
  costMicro: MicroEur
  /** Clean length that stays on the drum. */
  restUm: LengthUm
  /** Whether something is wound off. */
  woundOff: boolean
}

interface Filled {
  pieces: { item: number; option: number; group: number; cutUm: LengthUm; declaredUm: LengthUm }[]
  fromUm: LengthUm
  /** Where the pieces end, and up to where nothing else can lie. */
  fullUm: LengthUm
  toUm: LengthUm
  windOff: { putup: string; costMicro: MicroEur; group: number } | null
}

/** Prices what was taken from each stretch of a division, outermost first. null where nothing was taken. */
export function layOut(
  catalog: Catalog,
  items: Item[],
  model: DrumModel,
  drum: number,
  place: number,
  division: number,
  taken: Taken[][],
): Pattern | null {
  return lay(catalog, items, model, { drum, place, division, taken })?.pattern ?? null
}

/** The intervals of a pattern, from the outer end. */
export function laidIntervals(
  catalog: Catalog,
  items: Item[],
  model: DrumModel,
  pattern: Pattern,
): LaidInterval[] {
  return lay(catalog, items, model, pattern)?.intervals ?? []
}

function lay(
  catalog: Catalog,
  items: Item[],
  model: DrumModel,
  { drum, place, division, taken }: Pick<Pattern, 'drum' | 'place' | 'division' | 'taken'>,
): { pattern: Pattern; intervals: LaidInterval[] } | null {
  let last = taken.length - 1
  while (last >= 0 && taken[last]!.length === 0) last--
  if (last < 0) return null
  const where = model.places[place]!
  const filled = fill(catalog, items, model.divisions[division]!.slice(0, last + 1), taken)
  for (const f of filled.slice(0, last)) considerWindOff(catalog, items, model, where, f)
  const { sequences, changes } = orderPutups(
    filled.map((f) => ({
      groups: [...new Set(f.pieces.map((p) => p.group))],
      after: f.windOff?.group ?? null,
    })),
    (group) => dueOfGroup(filled, items, group),
    model.lastGroup,
  )
  const walk = walkInwards(catalog, items, model, where, filled, sequences)
  const costMicro = model.valueBeforeMicro + where.mountMicro + changes * where.changeMicro + walk.costMicro
  const woundOff = filled.some((f) => f.windOff !== null)
  return {
    pattern: {
      drum,
      place,
      division,
      taken,
      ...amountsOf(items, filled),
      costMicro,
      restUm: walk.restUm,
      woundOff,
    },
    intervals: walk.intervals,
  }
}

/** Lays the intervals from the outer end to the inner one and prices them. */
function walkInwards(
  catalog: Catalog,
  items: Item[],
  model: DrumModel,
  where: Place,
  filled: Filled[],
  sequences: number[][],
): { intervals: LaidInterval[]; costMicro: MicroEur; restUm: LengthUm } {
  const intervals: LaidInterval[] = []
  const { good, lengthUm } = model.usable
  if (good.fromUm > 0) intervals.push({ fromUm: 0, toUm: good.fromUm, use: 'end' })
  let at = good.fromUm
  let costMicro = 0
  for (const [s, f] of filled.entries()) {
    if (f.fromUm > at) at = pushScrap(intervals, at, f.fromUm, model.usable)
    for (const piece of inOrder(f, sequences[s]!, items)) {
      const { item, option, declaredUm } = piece
      intervals.push({ fromUm: at, toUm: at + piece.cutUm, use: 'piece', item, option, declaredUm })
      at += piece.cutUm
      costMicro += pieceCost(catalog, items, piece, model)
    }
    if (s === filled.length - 1) break
    if (f.windOff) {
      intervals.push({ fromUm: at, toUm: f.toUm, use: 'remnant', putup: f.windOff.putup })
      costMicro += f.windOff.costMicro - model.valueMicro(f.toUm - at)
      at = f.toUm
    } else if (f.toUm > at) at = pushScrap(intervals, at, f.toUm, model.usable)
  }
  let restUm = 0
  let endUm = good.toUm
  if (good.toUm > at) {
    // a rest that is short without its inner end stays together with it, where that makes it long enough to stay
    const shortMicro = shortRestMicro(catalog, model, where, good.toUm - at)
    const toUm = shortMicro > shortRestMicro(catalog, model, where, lengthUm - at) ? lengthUm : good.toUm
    const keptMicro = model.keptFromMicro(at) - shortRestMicro(catalog, model, where, toUm - at)
    if (keptMicro > (good.toUm - at) * model.scrapMicroPerUm) {
      restUm = good.toUm - at
      intervals.push({ fromUm: at, toUm, use: 'remnant', putup: null })
      endUm = toUm
      costMicro -= keptMicro
    } else pushScrap(intervals, at, good.toUm, model.usable)
  }
  if (lengthUm > endUm) intervals.push({ fromUm: endUm, toUm: lengthUm, use: 'end' })
  let scrapUm = 0
  for (const i of intervals) if (i.use === 'scrap' || i.use === 'end') scrapUm += i.toUm - i.fromUm
  return { intervals, costMicro: costMicro - Math.round(scrapUm * model.scrapMicroPerUm), restUm }
}

/** Scrap is one cut however many causes it has. */
function pushScrap(
  intervals: LaidInterval[],
  fromUm: LengthUm,
  toUm: LengthUm,
  usable: UsableDrum,
): LengthUm {
  const faults = usable.zones
    .filter((z) => z.fromUm < toUm && z.toUm > fromUm)
    .map((z) => `fault ${z.fault.fault}`)
  const cause = faults.length > 0 ? faults.join(', ') : TOO_SHORT
  const last = intervals[intervals.length - 1]
  if (last?.use === 'scrap' && last.toUm === fromUm) {
    last.toUm = toUm
    if (!last.cause.includes(cause)) last.cause = `${last.cause}, ${cause}`
  } else intervals.push({ fromUm, toUm, use: 'scrap', cause })
  return toUm
}

/** The pieces of all stretches, as far out as they go. */
function fill(catalog: Catalog, items: Item[], stretches: Fillable[], taken: Taken[][]): Filled[] {
  const cuts = stretches.map((_, s) => (taken[s] ?? []).map((t) => cutsUm(items[t.item]!, t)))
  const lengthsUm = cuts.map((of) => of.flat().reduce((sum, cutUm) => sum + cutUm, 0))
  let places = chained(stretches, lengthsUm)
  return stretches.map((stretch, s) => {
    const { fromUm, roomUm } = places[s]!
    const pieces = grown(catalog, items, taken[s] ?? [], cuts[s]!, roomUm)
    const lengthUm = pieces.reduce((sum, p) => sum + p.cutUm, 0)
    if (lengthUm > lengthsUm[s]!) {
      lengthsUm[s] = lengthUm
      places = chained(stretches, lengthsUm)
    }
    const fullUm = fromUm + lengthUm
    const toUm = Math.max(fullUm, Math.min(stretch.toUm, stretches[s + 1]?.fromUm ?? stretch.toUm))
    return { pieces, fromUm, fullUm, toUm, windOff: null }
  })
}

/** The pieces of a stretch, those that were cut shorter than ordered as long as there is room. */
function grown(
  catalog: Catalog,
  items: Item[],
  taken: Taken[],
  cuts: LengthUm[][],
  roomUm: LengthUm,
): Filled['pieces'] {
  const { lengthGuardRatio, pieceTrimUm } = catalog.input.site.cutRules
  const pieces: Filled['pieces'] = []
  let leftUm = roomUm
  for (const [i, t] of taken.entries()) {
    const item = items[t.item]!
    for (let cutUm of cuts[i]!) {
      if (item.shortest && cutUm < item.cutUm) {
        // what would be scrap is better given to a piece that is short of what was ordered
        const holdsUm = bulkCutUm(
          Math.min(item.declaredUm, item.options[t.option]!.mostDeclaredUm),
          lengthGuardRatio,
          pieceTrimUm,
        )
        const more = Math.max(0, Math.min(leftUm, holdsUm - cutUm))
        cutUm += more
        leftUm -= more
      }
      const flexible = (item.shortest && cutUm < item.cutUm) || item.split
      const fullUm = item.options[t.option]!.mostDeclaredUm
      const declaredUm = flexible
        ? Math.min(item.declaredUm, fullUm, declaredOfCutUm(cutUm, lengthGuardRatio, pieceTrimUm))
        : item.declaredUm
      pieces.push({ item: t.item, option: t.option, group: t.group, cutUm, declaredUm })
    }
  }
  return pieces
}

/** What each of these pieces takes: of leads, the whole micrometre that brings it up to what all of them up to it need. */
function cutsUm(item: Item, { count, cutUm }: Taken): LengthUm[] {
  if (item.cutUpFine === 0) return Array<LengthUm>(count).fill(cutUm)
  return Array.from(
    { length: count },
    (_, n) => sideBySideUm(item, n + 1, cutUm) - sideBySideUm(item, n, cutUm),
  )
}

function considerWindOff(catalog: Catalog, items: Item[], model: DrumModel, place: Place, f: Filled): void {
  const leftUm = f.toUm - f.fullUm
  if (leftUm <= 0) return
  const worthMicro = model.valueMicro(leftUm)
  if (worthMicro === 0) return
  const windOff = cheapestWindOff(catalog, place, leftUm)
  if (!windOff || worthMicro - windOff.costMicro <= leftUm * model.scrapMicroPerUm) return
  const group = items.flatMap((i) => i.options).find((o) => o.putup === windOff.putup)?.group ?? -1
  f.windOff = { ...windOff, group }
}

function dueOfGroup(filled: Filled[], items: Item[], group: number): string {
  let due = '9999'
  for (const f of filled)
    for (const p of f.pieces)
      if (p.group === group && items[p.item]!.earliestDue < due) due = items[p.item]!.earliestDue
  return due
}

function inOrder(f: Filled, sequence: number[], items: Item[]): Filled['pieces'] {
  // leads stay as they were counted
  const lengthOf = (p: Filled['pieces'][number]) => (items[p.item]!.lead ? items[p.item]!.cutUm : p.cutUm)
  return [...f.pieces].sort(
    (a, b) =>
      sequence.indexOf(a.group) - sequence.indexOf(b.group) ||
      items[a.item]!.earliestDue.localeCompare(items[b.item]!.earliestDue) ||
      lengthOf(b) - lengthOf(a) ||
      a.item - b.item,
  )
}

/** Put-ups the works chose itself, and the credit that a piece shorter than ordered forgoes. */
function pieceCost(
  catalog: Catalog,
  items: Item[],
  piece: Filled['pieces'][number],
  model: DrumModel,
): MicroEur {
  const item = items[piece.item]!
  const forgone =
    item.split || piece.declaredUm >= item.declaredUm
      ? 0
      : item.creditMicro - materialMicro(catalog.input.costs, model.usable.drum.cable, piece.declaredUm)
  return item.options[piece.option]!.costMicro + forgone
}

function amountsOf(items: Item[], filled: Filled[]): Pick<Pattern, 'amounts' | 'parts'> {
  const amounts = new Map<number, number>()
  const parts = new Map<number, LengthUm[]>()
  for (const f of filled)
    for (const p of f.pieces) {
      const item = items[p.item]!
      const amount = item.split ? p.declaredUm / item.declaredUm : 1
      amounts.set(p.item, (amounts.get(p.item) ?? 0) + amount)
      if (item.split) parts.set(p.item, [...(parts.get(p.item) ?? []), p.declaredUm])
    }
  return { amounts, parts }
}
