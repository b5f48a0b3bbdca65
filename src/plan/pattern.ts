import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { UsableDrum } from '../strip/usable.ts'
import type { Catalog } from './catalog.ts'
import type { DrumModel, Fillable, Place } from './drum-model.ts'
import type { Item } from './item.ts'
import { bestRest, bestWindOff, restWorthMicro, shortfallsUm, type WindOff } from './left-over.ts'
import { fewestChanges, orderPutups, type StretchPutups } from './putup-order.ts'
import { cutsUm, type Run, runsOf, shrunkBy, takenUm } from './runs.ts'
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

/** What is cut of a drum at a place, before it is priced. */
export type Cut = Pick<Pattern, 'place' | 'division' | 'taken'>

interface Filled {
  runs: Run[]
  fromUm: LengthUm
  /** Where the pieces end. */
  fullUm: LengthUm
  /** Between these pieces and those of the next stretch that is filled. */
  windOff: WindOff | null
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
  const filled = filledOf(catalog, items, model, { place, division, taken })
  if (!filled) return null
  const { costMicro, restUm } = priced(catalog, items, model, place, filled)
  const woundOff = filled.some((f) => f.windOff !== null)
  return { drum, place, division, taken, ...amountsOf(items, filled), costMicro, restUm, woundOff }
}

/** What the same costs, 0 where nothing was taken: for whoever tries far more than they keep. */
export function layOutCost(catalog: Catalog, items: Item[], model: DrumModel, cut: Cut): MicroEur {
  const filled = filledOf(catalog, items, model, cut)
  return filled ? priced(catalog, items, model, cut.place, filled).costMicro : 0
}

/** The intervals of a pattern, from the outer end. */
export function laidIntervals(catalog: Catalog, items: Item[], model: DrumModel, cut: Cut): LaidInterval[] {
  const filled = filledOf(catalog, items, model, cut)
  if (!filled) return []
  const intervals: LaidInterval[] = []
  const dueOf = (group: number) => dueOfGroup(filled, items, group)
  const sequences = orderPutups(putupsOf(items, filled), dueOf, model.lastGroup)
  walkInwards(catalog, items, model, model.places[cut.place]!, filled, {
    pieces: (f, s) => {
      let at = f.fromUm
      for (const run of inOrder(f, sequences[s]!, items))
        for (const cutUm of cutsUm(items, run)) {
          const { item, option, declaredUm } = run
          intervals.push({ fromUm: at, toUm: at + cutUm, use: 'piece', item, option, declaredUm })
          at += cutUm
        }
    },
    scrap: (fromUm, toUm) => pushScrap(intervals, fromUm, toUm, model.usable),
    end: (fromUm, toUm) => intervals.push({ fromUm, toUm, use: 'end' }),
    remnant: (fromUm, toUm, putup) => intervals.push({ fromUm, toUm, use: 'remnant', putup }),
  })
  return intervals
}

/** Up to the last stretch that something was taken from; null where there is none. */
function filledOf(
  catalog: Catalog,
  items: Item[],
  model: DrumModel,
  { place, division, taken }: Cut,
): Filled[] | null {
  let last = taken.length - 1
  while (last >= 0 && taken[last]!.length === 0) last--
  if (last < 0) return null
  const filled = fill(catalog, items, model.divisions[division]!, taken, last)
  // what lies between two that are filled belongs to the outer one, or to the outermost
  let outer = filled[0]!
  for (const inner of filled.slice(1)) {
    if (inner.runs.length === 0) continue
    outer.windOff = bestWindOff(catalog, model, model.places[place]!, outer.fullUm, inner.fromUm)
    outer = inner
  }
  giveWay(catalog, items, model, model.places[place]!, filled[last]!)
  return filled
}

/** Pieces that may be shorter are, where by that a rest is long enough to keep that would else be scrap. */
function giveWay(catalog: Catalog, items: Item[], model: DrumModel, where: Place, f: Filled): void {
  if (!f.runs.some((run) => items[run.item]!.shortest)) return
  const costOf = (runs: Run[], fullUm: LengthUm) =>
    runs.reduce((sum, run) => sum + run.count * pieceCost(catalog, items, run, model), 0) -
    restWorthMicro(catalog, model, where, fullUm)
  let leastMicro = costOf(f.runs, f.fullUm)
  const { runs: asTaken, fullUm: fullAsTakenUm } = f
  for (const byUm of shortfallsUm(model, fullAsTakenUm)) {
    const runs = shrunkBy(catalog, items, asTaken, byUm)
    const costMicro = runs ? costOf(runs, fullAsTakenUm - byUm) : Number.POSITIVE_INFINITY
    if (!runs || costMicro >= leastMicro) continue
    leastMicro = costMicro
    f.runs = runs
    f.fullUm = fullAsTakenUm - byUm
  }
}

function putupsOf(items: Item[], filled: Filled[]): StretchPutups[] {
  return filled.map((f) => ({
    groups: groupsOf(f),
    after: f.windOff && groupOfPutup(items, f.windOff.putup),
  }))
}

function priced(
  catalog: Catalog,
  items: Item[],
  model: DrumModel,
  place: number,
  filled: Filled[],
): { costMicro: MicroEur; restUm: LengthUm } {
  const where = model.places[place]!
  const changes = fewestChanges(putupsOf(items, filled), model.lastGroup)
  const { costMicro, restUm } = walkInwards(catalog, items, model, where, filled, null)
  return {
    costMicro: model.valueBeforeMicro + where.mountMicro + changes * where.changeMicro + costMicro,
    restUm,
  }
}

/** Told what lies where, from the outer end to the inner one. */
interface Visitor {
  pieces: (f: Filled, stretch: number) => void
  scrap: (fromUm: LengthUm, toUm: LengthUm) => void
  end: (fromUm: LengthUm, toUm: LengthUm) => void
  remnant: (fromUm: LengthUm, toUm: LengthUm, putup: string | null) => void
}

/** Goes from the outer end to the inner one and adds up what it costs. */
function walkInwards(
  catalog: Catalog,
  items: Item[],
  model: DrumModel,
  where: Place,
  filled: Filled[],
  visitor: Visitor | null,
): { costMicro: MicroEur; restUm: LengthUm } {
  const { good, lengthUm } = model.usable
  if (good.fromUm > 0) visitor?.end(0, good.fromUm)
  let at = good.fromUm
  let costMicro = 0
  let scrapUm = good.fromUm
  const scrapUpTo = (toUm: LengthUm) => {
    visitor?.scrap(at, toUm)
    scrapUm += toUm - at
    at = toUm
  }
  for (const [s, f] of filled.entries()) {
    if (f.runs.length > 0) {
      if (f.fromUm > at) scrapUpTo(f.fromUm)
      visitor?.pieces(f, s)
      for (const run of f.runs) costMicro += run.count * pieceCost(catalog, items, run, model)
      at = f.fullUm
    }
    if (!f.windOff) continue
    const { fromUm, toUm, putup } = f.windOff
    if (fromUm > at) scrapUpTo(fromUm)
    visitor?.remnant(fromUm, toUm, putup)
    costMicro += f.windOff.costMicro
    at = toUm
  }
  let restUm = 0
  if (good.toUm > at) {
    const rest = bestRest(catalog, model, where, at)
    if (rest) {
      if (rest.fromUm > at) scrapUpTo(rest.fromUm)
      restUm = good.toUm - rest.fromUm
      visitor?.remnant(rest.fromUm, rest.toUm, null)
      costMicro -= rest.keptMicro
      at = rest.toUm
    } else scrapUpTo(good.toUm)
  }
  if (lengthUm > at) visitor?.end(at, lengthUm)
  scrapUm += lengthUm - at
  return { costMicro: costMicro - Math.round(scrapUm * model.scrapMicroPerUm), restUm }
}

/** Scrap is one cut however many causes it has. */
function pushScrap(intervals: LaidInterval[], fromUm: LengthUm, toUm: LengthUm, usable: UsableDrum): void {
  const faults = usable.zones
    .filter((z) => z.fromUm < toUm && z.toUm > fromUm)
    .map((z) => `fault ${z.fault.fault}`)
  const cause = faults.length > 0 ? faults.join(', ') : TOO_SHORT
  const last = intervals[intervals.length - 1]
  if (last?.use === 'scrap' && last.toUm === fromUm) {
    last.toUm = toUm
    if (!last.cause.includes(cause)) last.cause = `${last.cause}, ${cause}`
  } else intervals.push({ fromUm, toUm, use: 'scrap', cause })
}

/** The pieces of all stretches up to the last, as far out as they go. */
function fill(
  catalog: Catalog,
  items: Item[],
  stretches: Fillable[],
  taken: Taken[][],
  last: number,
): Filled[] {
  const upTo = last + 1 < stretches.length ? stretches.slice(0, last + 1) : stretches
  const lengthsUm = upTo.map((_, s) => takenUm(items, taken[s]!))
  let places = chained(upTo, lengthsUm)
  return upTo.map((_, s) => {
    const { fromUm, roomUm } = places[s]!
    const runs = runsOf(catalog, items, taken[s]!, roomUm)
    const lengthUm = runs.reduce((sum, run) => sum + run.lengthUm, 0)
    if (lengthUm > lengthsUm[s]!) {
      lengthsUm[s] = lengthUm
      places = chained(upTo, lengthsUm)
    }
    return { runs, fromUm, fullUm: fromUm + lengthUm, windOff: null }
  })
}

function groupOfPutup(items: Item[], putup: string): number {
  for (const { options } of items) for (const o of options) if (o.putup === putup) return o.group
  return -1
}

function groupsOf({ runs }: Filled): number[] {
  const groups: number[] = []
  for (const { group } of runs) if (!groups.includes(group)) groups.push(group)
  return groups
}

function dueOfGroup(filled: Filled[], items: Item[], group: number): string {
  let due = '9999'
  for (const f of filled)
    for (const run of f.runs)
      if (run.group === group && items[run.item]!.earliestDue < due) due = items[run.item]!.earliestDue
  return due
}

function inOrder(f: Filled, sequence: number[], items: Item[]): Run[] {
  // leads stay as they were counted
  const lengthOf = (run: Run) => (items[run.item]!.lead ? items[run.item]!.cutUm : run.cutUm)
  return [...f.runs].sort(
    (a, b) =>
      sequence.indexOf(a.group) - sequence.indexOf(b.group) ||
      items[a.item]!.earliestDue.localeCompare(items[b.item]!.earliestDue) ||
      lengthOf(b) - lengthOf(a) ||
      a.item - b.item,
  )
}

/** Put-ups the works chose itself, and the credit that a piece shorter than ordered forgoes. */
function pieceCost(catalog: Catalog, items: Item[], piece: Run, model: DrumModel): MicroEur {
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
    for (const { item: index, count, declaredUm } of f.runs) {
      const item = items[index]!
      const share = item.split ? declaredUm / item.declaredUm : 1
      amounts.set(index, (amounts.get(index) ?? 0) + count * share)
      if (!item.split) continue
      const more = Array<LengthUm>(count).fill(declaredUm)
      parts.set(index, [...(parts.get(index) ?? []), ...more])
    }
  return { amounts, parts }
}
