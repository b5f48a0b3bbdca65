import type { MicroEur } from '../quantity/money.ts'
import type { Catalog } from './catalog.ts'
import { placeTakes } from './drum-model.ts'
import type { TypeInstance } from './instance.ts'
import { layOut, layOutCost, type Pattern, takenUm } from './pattern.ts'
import type { Random } from './random.ts'
import { chained } from './stretch-chain.ts'
import type { Taken } from './stretch-fill.ts'
import { type TypeSolution, unservedOf } from './type-solution.ts'

/** One drum as it stands: what is taken from each of its stretches. */
interface Standing {
  place: number
  division: number
  taken: Taken[][]
  /** 0 where nothing is taken. */
  costMicro: MicroEur
}

/** A drum and one of its stretches; drum −1 are the pieces that are not served. */
interface Spot {
  drum: number
  stretch: number
}

/** A change that has been thought out and not been made: of one drum or two. */
interface Move {
  drums: { drum: number; standing: Standing }[]
  missing: Taken[]
}

const NOT_SERVED = -1
/** At first a change may cost up to about this share of a mounting; at last a fiftieth of that. */
const WARM_SHARE = 1 / 6
const COLD = 0.02
/** Shares of the moves: a whole put-up at once, all copies of a piece at once; and how often pieces come back in exchange. */
const WHOLE_PUTUP = 0.25
const ALL_COPIES = 0.6
const EXCHANGE = 0.5
const FROM_MISSING = 0.2
const MOST_RETURNED = 6
/** The clock is looked at once in so many moves. */
const LOOK_EVERY = 500
/** How often an empty drum is given another place. */
const ELSEWHERE = 0.1
const REMOUNT = 0.02
const WHOLE_LINE = 0.3
const REFILL = 0.15
const THREE = 0.25
const ELSEWHERE_AGAIN = 0.25
const OTHER_PUTUP = 0.1
/** Service comes first: a euro unserved weighs more than any saving that leaving it unserved could bring. */
const SERVICE_WEIGHT = 200

/**
 * Simulated annealing on the pieces themselves: some are moved from one stretch to another, others go back where room must be
 * made, and the drums are laid out and priced again, exactly. Slow to find where long pieces belong, but good at what filling
 * drum by drum at prices is not: which put-ups share a drum, and the last metres of each stretch.
 * Method: Kirkpatrick, Gelatt and Vecchi (1983).
 */
export class PieceMoves {
  readonly #catalog: Catalog
  readonly #instance: TypeInstance
  readonly #random: Random
  readonly #warmMicro: number
  /** Lines that cost a change of cable, as bits, by drum and place; and what each costs. */
  readonly #lineBits: number[][]
  readonly #fixedMicro: MicroEur[]
  #standings: Standing[] = []
  #missing: Taken[] = []
  /** Moves tried so far: a measure of work. */
  work = 0

  constructor(catalog: Catalog, instance: TypeInstance, random: Random) {
    this.#catalog = catalog
    this.#instance = instance
    this.#random = random
    const lines = [...instance.lineFixed.keys()]
    this.#fixedMicro = [...instance.lineFixed.values()]
    this.#lineBits = instance.drums.map((d) =>
      d.places.map((p) => (lines.includes(p.id) ? 1 << lines.indexOf(p.id) : 0)),
    )
    const mounts = instance.drums.map((d) => Math.min(...d.places.map((p) => p.mountMicro)))
    this.#warmMicro = (mounts.reduce((a, b) => a + b, 0) / Math.max(1, mounts.length)) * WARM_SHARE
  }

  /** Starts from a plan and answers the best one met. */
  run(from: TypeSolution, moves: number, late: () => boolean): Pattern[] {
    if (this.#instance.drums.length === 0) return from.patterns
    this.#begin(from)
    let costMicro = this.#standings.reduce(
      (sum, s) => sum + s.costMicro,
      this.#besideMicro([], this.#missing),
    )
    let bestMicro = costMicro
    let best: Standing[] | null = null
    for (let n = 0; n < moves; n++) {
      if (n % LOOK_EVERY === 0 && late()) break
      this.work++
      const move = this.#draw()
      if (!move) continue
      let nextMicro =
        costMicro - this.#besideMicro([], this.#missing) + this.#besideMicro(move.drums, move.missing)
      for (const { drum, standing } of move.drums)
        nextMicro += standing.costMicro - this.#standings[drum]!.costMicro
      const warmMicro = this.#warmMicro * COLD ** (n / moves)
      if (nextMicro > costMicro && this.#random() >= Math.exp((costMicro - nextMicro) / warmMicro)) continue
      for (const { drum, standing } of move.drums) this.#standings[drum] = standing
      this.#missing = move.missing
      costMicro = nextMicro
      if (costMicro >= bestMicro - 1) continue
      bestMicro = costMicro
      best = [...this.#standings]
    }
    return best ? this.#patternsOf(best) : from.patterns
  }

  #patternsOf(standings: Standing[]): Pattern[] {
    const { items, drums } = this.#instance
    return standings.flatMap(({ place, division, taken }, d) => {
      const pattern = layOut(this.#catalog, items, drums[d]!, d, place, division, taken)
      return pattern ? [pattern] : []
    })
  }

  #begin(from: TypeSolution): void {
    const { drums, items } = this.#instance
    this.#standings = drums.map((model, d) => {
      const pattern = from.patterns.find((p) => p.drum === d)
      const division = pattern?.division ?? 0
      const taken = model.divisions[division]!.map((_, s) => [...(pattern?.taken[s] ?? [])])
      return { place: pattern?.place ?? 0, division, taken, costMicro: pattern?.costMicro ?? 0 }
    })
    // a piece in parts that is missing stays so: its parts would have to be found anew
    this.#missing = items.flatMap((item): Taken[] => {
      const count = Math.ceil(from.missing[item.index]! - 1e-7)
      const option = item.options.findIndex((o) => o.mostDeclaredUm >= item.declaredUm)
      if (count <= 0 || item.split || option < 0) return []
      const { group } = item.options[option]!
      return [{ item: item.index, option, group, count, cutUm: item.cutUm }]
    })
  }

  /** What the lines in use cost, with these drums changed, and what is missing. */
  #besideMicro(changed: Move['drums'], missing: Taken[]): MicroEur {
    const { items } = this.#instance
    let used = 0
    for (const [d, standing] of this.#standings.entries()) {
      let { place, taken } = standing
      for (const c of changed) if (c.drum === d) ({ place, taken } = c.standing)
      if (!isEmpty(taken)) used |= this.#lineBits[d]![place]!
    }
    let sum = 0
    for (const [n, micro] of this.#fixedMicro.entries()) if ((used >> n) & 1) sum += micro
    for (const { item, count } of missing) {
      const wanted = items[item]!
      sum += SERVICE_WEIGHT * unservedOf(wanted, count) + count * wanted.creditMicro
    }
    return sum
  }

  /** A random change that keeps the rules; null where the draw led to none. */
  #draw(): Move | null {
    const kind = this.#random()
    if (kind < REMOUNT) return this.#drawRemount()
    return kind < REMOUNT + REFILL ? this.#drawRefill() : this.#drawExchange()
  }

  /** Mounts a drum at another place; now and then all drums that stand where it stood. */
  #drawRemount(): Move | null {
    const drum = this.#drawSpot().drum
    const { drums } = this.#instance
    const { places } = drums[drum]!
    const fromId = places[this.#standings[drum]!.place]!.id
    const toId = places[Math.floor(this.#random() * places.length)]!.id
    if (fromId === toId) return null
    const move: Move = { drums: [], missing: this.#missing }
    const all = this.#random() < WHOLE_LINE
    for (const [d, { place, taken }] of this.#standings.entries()) {
      if (isEmpty(taken) || drums[d]!.places[place]!.id !== fromId) continue
      if (!all && d !== drum) continue
      const at = drums[d]!.places.findIndex((p) => p.id === toId)
      if (at >= 0) this.#changing(move, d).place = at
    }
    return this.#laid(move)
  }

  /**
   * Empties a few drums and fills them again with the same pieces, the longest first, each put-up on one of the drums as far as
   * that goes; now and then at other places.
   */
  #drawRefill(): Move | null {
    const drums = new Set<number>()
    const wanted = this.#random() < THREE ? 3 : 2
    for (let n = 0; n < wanted; n++) drums.add(this.#drawSpot().drum)
    if (drums.size < 2) return null
    const move: Move = { drums: [], missing: this.#missing }
    const pieces: Taken[] = []
    for (const drum of drums) {
      const { places, divisions } = this.#instance.drums[drum]!
      const standing = this.#changing(move, drum)
      for (const taken of standing.taken) for (const t of taken) pieces.push(copyOf(t))
      if (this.#random() < ELSEWHERE_AGAIN) standing.place = Math.floor(this.#random() * places.length)
      if (this.#random() < ELSEWHERE_AGAIN) standing.division = Math.floor(this.#random() * divisions.length)
      standing.taken = divisions[standing.division]!.map(() => [])
    }
    if (pieces.length === 0) return null
    pieces.sort((x, y) => y.cutUm - x.cutUm)
    const firsts = new Map<number, number>()
    for (const piece of pieces) {
      this.#vary(piece)
      const first = firsts.get(piece.group) ?? Math.floor(this.#random() * move.drums.length)
      firsts.set(piece.group, first)
      for (let k = 0; k < move.drums.length && piece.count > 0; k++)
        this.#fillIn(piece, move, move.drums[(first + k) % move.drums.length]!.drum)
      if (piece.count > 0) return null
    }
    for (const { drum, standing } of move.drums) this.#lay(drum, standing)
    return move
  }

  /** As many of a piece as a drum of a move still has room for, each stretch in turn, from any of them on. */
  #fillIn(piece: Taken, move: Move, drum: number): void {
    const { taken } = this.#changing(move, drum)
    const from = Math.floor(this.#random() * taken.length)
    for (let k = 0; k < taken.length && piece.count > 0; k++) {
      const spot = { drum, stretch: (from + k) % taken.length }
      if (!this.#mayLie(piece, spot, move)) continue
      const fitting = Math.min(piece.count, Math.floor(-this.#overUm(move, spot) / piece.cutUm))
      if (fitting <= 0) continue
      const part = copyOf(piece)
      part.count = fitting
      piece.count -= fitting
      put(taken[spot.stretch]!, part)
    }
  }

  /** Prices what has changed; null where a rule does not allow it. */
  #laid(move: Move): Move | null {
    for (const { drum, standing } of move.drums)
      for (const [stretch, taken] of standing.taken.entries())
        if (taken.some((t) => !this.#mayLie(t, { drum, stretch }, move))) return null
    for (const { drum, standing } of move.drums) this.#lay(drum, standing)
    return move.drums.length > 0 ? move : null
  }

  #drawExchange(): Move | null {
    const from = this.#drawFrom()
    const to = this.#drawSpot()
    if (!from) return null
    const move: Move = { drums: [], missing: this.#missing }
    const giving = this.#opened(move, from)
    const stays = from.drum === to.drum && from.stretch === to.stretch
    const taking = stays ? giving : this.#opened(move, to)
    const going = this.#drawPieces(giving)
    for (const t of going) this.#vary(t)
    if (going.some((t) => !this.#mayLie(t, to, move))) return null
    for (const t of going) put(taking, t)
    if (!this.#makeRoom(move, from, to, giving, taking, going)) return null
    for (const { drum, standing } of move.drums) this.#lay(drum, standing)
    return move
  }

  #drawFrom(): Spot | null {
    if (this.#missing.length > 0 && this.#random() < FROM_MISSING) return { drum: NOT_SERVED, stretch: 0 }
    // a full spot is soon drawn: most are
    for (let n = 0; n < 20; n++) {
      const spot = this.#drawSpot()
      if (this.#standings[spot.drum]!.taken[spot.stretch]!.length > 0) return spot
    }
    return null
  }

  /** Any stretch of any drum, each as likely. */
  #drawSpot(): Spot {
    let at = Math.floor(this.#random() * this.#standings.reduce((sum, s) => sum + s.taken.length, 0))
    let drum = 0
    while (at >= this.#standings[drum]!.taken.length) at -= this.#standings[drum++]!.taken.length
    return { drum, stretch: at }
  }

  /** The pieces of a spot, copied so that they can be changed. */
  #opened(move: Move, { drum, stretch }: Spot): Taken[] {
    if (drum === NOT_SERVED) {
      if (move.missing === this.#missing) move.missing = this.#missing.map(copyOf)
      return move.missing
    }
    const standing = this.#changing(move, drum)
    const copy = standing.taken[stretch]!.map(copyOf)
    standing.taken[stretch] = copy
    return copy
  }

  /** A drum of a move, copied where it was as it is so far. */
  #changing(move: Move, drum: number): Standing {
    for (const known of move.drums) if (known.drum === drum) return known.standing
    const { place, division, taken, costMicro } = this.#standings[drum]!
    const standing = { place, division, taken: [...taken], costMicro }
    move.drums.push({ drum, standing })
    return standing
  }

  /** Takes out some pieces: a whole put-up, all copies of a piece, or a few of them. */
  #drawPieces(giving: Taken[]): Taken[] {
    const at = Math.floor(this.#random() * giving.length)
    const { group, count } = giving[at]!
    const kind = this.#random()
    if (kind >= WHOLE_PUTUP) {
      const n = kind < ALL_COPIES ? count : 1 + Math.floor(this.#random() * count)
      return [takeOut(giving, at, n)]
    }
    const going: Taken[] = []
    for (let i = giving.length - 1; i >= 0; i--)
      if (giving[i]!.group === group) going.push(takeOut(giving, i, giving[i]!.count))
    return going
  }

  /** A piece that moves may go onto another put-up, and is no longer than it must be. */
  #vary(t: Taken): void {
    const { options, shortest, declaredUm } = this.#instance.items[t.item]!
    if (shortest) t.cutUm = shortest.cutUm
    if (options.length < 2 || this.#random() >= OTHER_PUTUP) return
    const option = Math.floor(this.#random() * options.length)
    if (options[option]!.mostDeclaredUm < (shortest?.declaredUm ?? declaredUm)) return
    t.option = option
    t.group = options[option]!.group
  }

  /** Sends pieces back until the rest fits; now and then one at least, where all would fit. */
  #makeRoom(move: Move, from: Spot, to: Spot, giving: Taken[], taking: Taken[], going: Taken[]): boolean {
    const mayGoBack = ({ item }: Taken) => going.every((t) => t.item !== item)
    let exchange = this.#random() < EXCHANGE
    for (let n = 0; n < MOST_RETURNED; n++) {
      const overUm = this.#overUm(move, to)
      if (overUm <= 0 && !exchange) break
      exchange = false
      let others = 0
      for (const t of taking) if (mayGoBack(t)) others++
      if (others === 0) return overUm <= 0
      let nth = Math.floor(this.#random() * others)
      const at = taking.findIndex((t) => mayGoBack(t) && nth-- === 0)
      const back = taking[at]!
      if (!this.#mayLie(back, from, move)) return false
      const few = Math.min(back.count, Math.max(1, Math.ceil(overUm / back.cutUm)))
      put(giving, takeOut(taking, at, this.#random() < 0.3 ? back.count : few))
    }
    return this.#overUm(move, to) <= 0 && this.#overUm(move, from) <= 0
  }

  /** By how much the pieces of a spot are too long for its stretch, or for one that they reach into. */
  #overUm(move: Move, { drum, stretch }: Spot): number {
    if (drum === NOT_SERVED) return 0
    const { division, taken } = this.#changing(move, drum)
    const lengthsUm = taken.map((of) => takenUm(this.#instance.items, of))
    return -chained(this.#instance.drums[drum]!.divisions[division]!, lengthsUm)[stretch]!.roomUm
  }

  #mayLie(t: Taken, { drum, stretch }: Spot, move: Move): boolean {
    if (drum === NOT_SERVED) return true
    const item = this.#instance.items[t.item]!
    const model = this.#instance.drums[drum]!
    const { division, place } = this.#changing(move, drum)
    if (!model.divisions[division]![stretch]!.allowed[t.item]) return false
    if (!placeTakes(model.places[place]!, item, item.options[t.option]!.putup)) return false
    return item.group === null || this.#lotOf(item.group, model.usable.drum.lot)
  }

  /** Whether all that is served of a lot group comes from this lot. */
  #lotOf(group: string, lot: string): boolean {
    const { items, drums } = this.#instance
    return this.#standings.every(
      ({ taken }, d) =>
        drums[d]!.usable.drum.lot === lot ||
        !taken.some((stretch) => stretch.some((t) => items[t.item]!.group === group)),
    )
  }

  /** Prices a drum anew; an empty one may be mounted anywhere next time. */
  #lay(drum: number, standing: Standing): void {
    const model = this.#instance.drums[drum]!
    if (isEmpty(standing.taken)) {
      standing.costMicro = 0
      if (this.#random() < ELSEWHERE) standing.place = Math.floor(this.#random() * model.places.length)
      standing.division = 0
      standing.taken = model.divisions[0]!.map(() => [])
      return
    }
    const { place, division, taken } = standing
    standing.costMicro = layOutCost(this.#catalog, this.#instance.items, model, place, division, taken)
  }
}

function isEmpty(taken: Taken[][]): boolean {
  return taken.every((of) => of.length === 0)
}

/** Written out, since moves are many and this is much faster. */
function copyOf({ item, option, group, count, cutUm }: Taken): Taken {
  return { item, option, group, count, cutUm }
}

function takeOut(from: Taken[], at: number, count: number): Taken {
  const taken = copyOf(from[at]!)
  taken.count = count
  from[at]!.count -= count
  if (from[at]!.count === 0) from.splice(at, 1)
  return taken
}

function put(into: Taken[], piece: Taken): void {
  const same = into.find((t) => t.item === piece.item && t.option === piece.option && t.cutUm === piece.cutUm)
  if (same) same.count += piece.count
  else into.push(copyOf(piece))
}
