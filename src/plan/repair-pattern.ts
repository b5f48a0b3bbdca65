import type { LengthUm } from '../quantity/length.ts'
import type { Interval, Mounting, PieceInterval } from '../strip/cut-plan.ts'
import type { CutRules } from '../strip/cut-rules.ts'
import { type Catalog, orderKey } from './catalog.ts'
import { type DrumModel, placeTakes } from './drum-model.ts'
import { barestCutUm, bulkCutUm, type Item, sideBySideUm } from './item.ts'
import { laidIntervals, layOut, type Pattern } from './pattern.ts'
import type { OpenType } from './repair-instance.ts'
import { chained } from './stretch-chain.ts'
import type { Taken } from './stretch-fill.ts'
import { emptyTally, SLACK_UM } from './tally.ts'
import { checkMounting } from './verify-mounting.ts'

/** A mounting of the old plan as the search sees it. */
export interface OldPattern {
  /** Place in the old plan. */
  index: number
  drum: number
  /** What of it can still be done; null where nothing can. */
  pattern: Pattern | null
  /** All of it can stay, to the micrometre: it breaks no rule, its pieces are wanted there, and the search can reckon with it. */
  stays: boolean
}

/**
 * The mountings of an old plan, or what follows their fixed part, as patterns of this type. Pieces that are no longer wanted or
 * may no longer lie where they lay are left out. Mountings of drums that are no longer to be cut are not listed.
 */
export function oldPatterns(works: Catalog, type: OpenType, old: Mounting[]): OldPattern[] {
  const found: OldPattern[] = []
  const drumOf = new Map(type.instance.drums.map((m, d) => [m.usable.drum.drum, d]))
  for (const [index, mounting] of old.entries()) {
    const begun = type.fixed.get(mounting.drum)
    const drum = drumOf.get(mounting.drum)
    if (drum === undefined || (begun && (begun.index !== index || !begun.open))) continue
    // a drum that is mounted twice is planned anew: at most one pattern stands for a drum
    if (old.some((m, i) => i !== index && m.drum === mounting.drum)) continue
    const fromUm = begun?.restUm?.fromUm ?? 0
    const intervals = mounting.intervals.slice(begun?.taken ?? 0).map((i) => moved(i, -fromUm))
    const place = type.instance.drums[drum]!.places.findIndex((p) => p.id === mounting.line)
    const pieces = intervals.filter((i): i is PieceInterval => i.use === 'piece')
    if (pieces.length === 0) continue
    if (place < 0) {
      found.push({ index, drum, pattern: null, stays: false })
      continue
    }
    const pattern = patternOf(type, drum, place, pieces)
    const whole = {
      ...mounting,
      intervals: [...(begun?.intervals ?? []), ...mounting.intervals.slice(begun?.taken ?? 0)],
    }
    const valid = pieces.every((p) => isWanted(type, p, mounting.drum)) && obeys(works, whole)
    const count = pieces.reduce((sum, p) => sum + p.count, 0)
    const stays = valid && pattern !== null && piecesIn(pattern) === count
    const pricedPattern = stays ? asItCosts(works, type, pattern, whole) : pattern
    found.push({ index, drum, pattern: pricedPattern, stays })
  }
  return found
}

/** A mounting that was planned in another form than a pattern is laid out in may cost more or less than the pattern says. */
function asItCosts(works: Catalog, type: OpenType, pattern: Pattern, whole: Mounting): Pattern {
  const { instance, catalog, fixed } = type
  const model = instance.drums[pattern.drum]!
  const begun = fixed.get(whole.drum)
  const laid = laidIntervals(catalog, instance.items, model, pattern).map((i): Interval => {
    if (i.use !== 'piece') return moved(i, begun?.restUm?.fromUm ?? 0)
    const { order } = instance.items[i.item]!.lines[0]!
    const { putup } = instance.items[i.item]!.options[i.option]!
    const named = { order: order.order, orderLine: order.line, piece: 1, part: 1, count: 1, putup }
    const { fromUm, toUm, declaredUm } = i
    return moved({ fromUm, toUm, use: 'piece', declaredUm, ...named }, begun?.restUm?.fromUm ?? 0)
  })
  const asLaid = { ...whole, intervals: [...(begun?.intervals ?? []), ...laid] }
  const moreMicro = costOfMounting(works, whole) - costOfMounting(works, asLaid)
  return moreMicro === 0 ? pattern : { ...pattern, costMicro: pattern.costMicro + moreMicro }
}

function costOfMounting(works: Catalog, mounting: Mounting): number {
  const tally = emptyTally(works)
  checkMounting(tally, mounting, 0)
  return Object.values(tally.items).reduce((sum, micro) => sum + micro, 0)
}

function isWanted(type: OpenType, piece: PieceInterval, drum: string): boolean {
  const item = itemOf(type, piece)
  return item !== null && !item.barred.has(drum) && wantedOf(type, item, piece) === piece.count
}

function obeys(works: Catalog, mounting: Mounting): boolean {
  const tally = emptyTally(works)
  checkMounting(tally, mounting, 0)
  return tally.broken.length === 0
}

/** The same interval in another count of places. */
export function moved(interval: Interval, byUm: LengthUm): Interval {
  return { ...interval, fromUm: interval.fromUm + byUm, toUm: interval.toUm + byUm }
}

/** The division that holds most of the pieces, the cheapest of equals. */
function patternOf(type: OpenType, drum: number, place: number, pieces: PieceInterval[]): Pattern | null {
  const { catalog, instance } = type
  const model = instance.drums[drum]!
  let best: Pattern | null = null
  for (const division of model.divisions.keys()) {
    const taken = takenBy(type, model, place, division, pieces)
    const pattern = layOut(catalog, instance.items, model, drum, place, division, taken)
    if (!pattern) continue
    const more = best ? piecesIn(pattern) - piecesIn(best) : 1
    if (!best || more > 0 || (more === 0 && pattern.costMicro < best.costMicro)) best = pattern
  }
  return best
}

function piecesIn(pattern: Pattern): number {
  return pattern.taken.flat().reduce((sum, t) => sum + t.count, 0)
}

/** What is taken from each stretch of a division, so far as the pieces lie in it, are allowed there and still find room. */
function takenBy(
  type: OpenType,
  model: DrumModel,
  place: number,
  division: number,
  pieces: PieceInterval[],
): Taken[][] {
  const where = model.places[place]!
  const { cutRules } = type.catalog.input.site
  const stretches = model.divisions[division]!
  const taken: Taken[][] = stretches.map(() => [])
  const lengthsUm = stretches.map(() => 0)
  for (const piece of pieces) {
    const item = itemOf(type, piece)
    const s = stretches.findIndex(
      ({ fromUm, toUm, allowed }) =>
        piece.fromUm >= fromUm && piece.toUm <= toUm && item && allowed[item.index],
    )
    if (!item || s < 0) continue
    const option = item.options.findIndex((o) => o.putup === piece.putup && placeTakes(where, item, o.putup))
    if (option < 0) continue
    const { group, mostDeclaredUm } = item.options[option]!
    const cutUm = cutOf(item, mostDeclaredUm, piece, cutRules)
    if (cutUm === null) continue
    // a margin that has grown since may leave no room for all of them
    const { roomUm } = chained(stretches, lengthsUm)[s]!
    const fits = Math.floor(roomUm / (item.lead ? barestCutUm(item) : cutUm))
    const count = Math.min(wantedOf(type, item, piece), fits)
    if (count <= 0) continue
    lengthsUm[s] = lengthsUm[s]! + sideBySideUm(item, count, cutUm)
    const known = taken[s]!.find((t) => t.item === item.index && t.option === option && t.cutUm === cutUm)
    if (known) known.count += count
    else taken[s]!.push({ item: item.index, option, group, count, cutUm })
  }
  return taken
}

/** What a piece of the old plan takes by the margins of now, no more than it may; null where it is too short for what is wanted now. */
function cutOf(
  item: Item,
  mostDeclaredUm: LengthUm,
  { fromUm, toUm }: PieceInterval,
  { lengthGuardRatio, pieceTrimUm }: CutRules,
): LengthUm | null {
  if (item.lead) return item.cutUm
  const mostUm = bulkCutUm(Math.min(item.declaredUm, mostDeclaredUm), lengthGuardRatio, pieceTrimUm)
  const cutUm = Math.min(toUm - fromUm, mostUm)
  const leastUm = item.split
    ? bulkCutUm(item.split.minUm, lengthGuardRatio, pieceTrimUm) - SLACK_UM
    : (item.shortest?.cutUm ?? item.cutUm)
  return cutUm < leastUm ? null : cutUm
}

/** The item that a piece of the old plan belongs to. */
export function itemOf(type: OpenType, piece: PieceInterval): Item | null {
  const key = orderKey(piece.order, piece.orderLine)
  for (const item of type.instance.items)
    if (type.pieces.get(item.index)!.some((p) => p.key === key && p.pieces.includes(piece.piece))) return item
  return null
}

/** Leads of one bench length may be wanted in part. */
function wantedOf(type: OpenType, item: Item, { order, orderLine, piece, count }: PieceInterval): number {
  const key = orderKey(order, orderLine)
  const numbers = type.pieces.get(item.index)!.find((p) => p.key === key && p.pieces.includes(piece))!.pieces
  return numbers.filter((n) => n >= piece && n < piece + count).length
}
