import type { Catalog } from './catalog.ts'
import type { TypeInstance } from './instance.ts'
import type { Pattern } from './pattern.ts'
import { copyOf, NOT_SERVED, PieceMove, type Spot } from './piece-move.ts'
import { isEmpty, type Standing, Standings, type Staying } from './piece-standings.ts'
import type { Random } from './random.ts'
import { alike, type Taken } from './stretch-fill.ts'
import type { TypeSolution } from './type-solution.ts'

/** At first a change may cost up to about this share of a mounting; at last a fiftieth of that. */
const WARM_SHARE = 1 / 6
const COLD = 0.02
/** A plan that is to stay as far as may be is not melted first: so much of the cooling is left out. A tuned figure. */
const COOLED = 0.5
/** Shares of the moves: a whole put-up at once, all copies of a piece at once; and how often pieces come back in exchange. */
const WHOLE_PUTUP = 0.25
const ALL_COPIES = 0.6
const EXCHANGE = 0.5
const FROM_MISSING = 0.2
const MOST_RETURNED = 6
/** The clock is looked at once in so many moves. */
const LOOK_EVERY = 500
/** How often an empty drum is given another place, and one that is filled again another place or division. */
const ELSEWHERE = 0.1
const ELSEWHERE_AGAIN = 0.25
/** Shares of the moves that mount a drum elsewhere, of these all drums of a line; that fill drums again, of these three of them. */
const REMOUNT = 0.02
const WHOLE_LINE = 0.3
const REFILL = 0.15
const THREE = 0.25
/** How often a piece that moves is put on another put-up, where there is a choice. */
const OTHER_PUTUP = 0.1

/**
 * Simulated annealing on the pieces themselves. Most moves take some pieces from one stretch to another, while others go back where
 * room must be made: good at the last metres of each stretch. Some empty two or three drums, or the only one, and fill them again with the same
 * pieces: good at which put-ups share a drum, and which drums a line. Drums that change are priced again, exactly.
 * Method: Kirkpatrick, Gelatt and Vecchi (1983).
 */
export class PieceMoves {
  readonly #catalog: Catalog
  readonly #instance: TypeInstance
  readonly #random: Random
  readonly #warmMicro: number
  readonly #now: Standings
  /** Share of the cooling that is left out. */
  readonly #cooled: number
  /** Moves tried so far: a measure of work. */
  work = 0

  /** `staying`: mountings that count where they do not stay; null where none do. */
  constructor(catalog: Catalog, instance: TypeInstance, random: Random, staying: Staying | null = null) {
    this.#catalog = catalog
    this.#instance = instance
    this.#random = random
    this.#now = new Standings(catalog, instance, staying)
    this.#cooled = staying ? COOLED : 0
    const mounts = instance.drums.map((d) => Math.min(...d.places.map((p) => p.mountMicro)))
    this.#warmMicro = (mounts.reduce((a, b) => a + b, 0) / Math.max(1, mounts.length)) * WARM_SHARE
  }

  /**
   * Starts from a plan and answers the best one met, after so many moves and no sooner than all that `turnGone` says is given to it,
   * 0 to 1, has gone: the slower it cools the better the plan.
   */
  run(from: TypeSolution, moves: number, late: () => boolean, turnGone = () => 1): Pattern[] {
    if (this.#instance.drums.length === 0) return from.patterns
    const now = this.#now
    now.begin(from)
    let { costMicro } = now
    let bestMicro = costMicro
    let best: Standing[] | null = null
    let gone = 0
    for (let n = 0; gone < 1 || n < moves; n++) {
      if (n % LOOK_EVERY === 0) {
        if (late()) break
        gone = turnGone()
      }
      this.work++
      const move = this.#draw()
      if (!move) continue
      const moreMicro = now.differenceMicro(move.drums, move.missing)
      const cooled = this.#cooled + (1 - this.#cooled) * Math.min(gone, n / moves)
      const warmMicro = this.#warmMicro * COLD ** cooled
      if (moreMicro > 0 && this.#random() >= Math.exp(-moreMicro / warmMicro)) continue
      now.change(move.drums, move.missing)
      costMicro += moreMicro
      if (costMicro >= bestMicro - 1) continue
      bestMicro = costMicro
      best = [...now.drums]
    }
    return best ? now.patternsOf(best) : from.patterns
  }

  /** A random change that keeps the rules; null where the draw led to none. */
  #draw(): PieceMove | null {
    const kind = this.#random()
    if (kind < REMOUNT) return this.#drawRemount()
    return kind < REMOUNT + REFILL ? this.#drawRefill() : this.#drawExchange()
  }

  #newMove(): PieceMove {
    return new PieceMove(this.#catalog, this.#instance, this.#now)
  }

  /** An empty drum may be mounted anywhere next time. */
  #lay(move: PieceMove): void {
    move.lay((places, place) => (this.#random() < ELSEWHERE ? Math.floor(this.#random() * places) : place))
  }

  /** Mounts a drum at another place; now and then all drums that stand where it stood. */
  #drawRemount(): PieceMove | null {
    const drum = this.#drawSpot().drum
    const { drums } = this.#instance
    const { places } = drums[drum]!
    const fromId = places[this.#now.drums[drum]!.place]!.id
    const toId = places[Math.floor(this.#random() * places.length)]!.id
    if (fromId === toId) return null
    const move = this.#newMove()
    const all = this.#random() < WHOLE_LINE
    for (const [d, { place, taken }] of this.#now.drums.entries()) {
      if (isEmpty(taken) || drums[d]!.places[place]!.id !== fromId) continue
      if (!all && d !== drum) continue
      const at = drums[d]!.places.findIndex((p) => p.id === toId)
      if (at >= 0) move.changing(d).place = at
    }
    return this.#laid(move)
  }

  /**
   * Empties a few drums and fills them again with the same pieces, the longest first, each put-up on one of the drums as far as
   * that goes; now and then at other places.
   */
  #drawRefill(): PieceMove | null {
    const drums = new Set<number>()
    const wanted = this.#random() < THREE ? 3 : 2
    for (let n = 0; n < wanted; n++) drums.add(this.#drawSpot().drum)
    if (drums.size < 2 && this.#instance.drums.length > 1) return null
    const move = this.#newMove()
    const pieces: Taken[] = []
    for (const drum of drums) {
      const { places, divisions } = this.#instance.drums[drum]!
      const standing = move.changing(drum)
      for (const taken of standing.taken) for (const t of taken) gather(pieces, t)
      if (this.#random() < ELSEWHERE_AGAIN) standing.place = Math.floor(this.#random() * places.length)
      const again = this.#random() < ELSEWHERE_AGAIN
      move.emptied(drum, again ? Math.floor(this.#random() * divisions.length) : standing.division)
    }
    if (pieces.length === 0) return null
    const firsts = new Map<number, number>()
    for (const piece of pieces) {
      this.#vary(piece)
      const first = firsts.get(piece.group) ?? Math.floor(this.#random() * move.drums.length)
      firsts.set(piece.group, first)
      let allLie = false
      for (let k = 0; k < move.drums.length && !allLie; k++)
        allLie = this.#fillIn(piece, move, move.drums[(first + k) % move.drums.length]!.drum)
      if (!allLie) return null
    }
    this.#lay(move)
    return move
  }

  /** As many of a piece as a drum of a move still has room for, each stretch in turn, from any of them on; whether that is all. */
  #fillIn(piece: Taken, move: PieceMove, drum: number): boolean {
    const { taken } = move.changing(drum)
    const from = Math.floor(this.#random() * taken.length)
    for (let k = 0; k < taken.length; k++) {
      const spot = { drum, stretch: (from + k) % taken.length }
      const fitting = Math.min(piece.count, Math.floor(-move.overUm(spot) / piece.cutUm))
      if (fitting <= 0 || !move.mayLie(piece, spot)) continue
      if (fitting === piece.count) {
        move.put(piece, spot)
        return true
      }
      const part = copyOf(piece)
      part.count = fitting
      piece.count -= fitting
      move.put(part, spot)
    }
    return false
  }

  /** Prices what has changed; null where a rule does not allow it. */
  #laid(move: PieceMove): PieceMove | null {
    for (const { drum, standing } of move.drums)
      for (const [stretch, taken] of standing.taken.entries())
        if (taken.some((t) => !move.mayLie(t, { drum, stretch }))) return null
    this.#lay(move)
    return move.drums.length > 0 ? move : null
  }

  #drawExchange(): PieceMove | null {
    const from = this.#drawFrom()
    const to = this.#drawSpot()
    if (!from) return null
    const move = this.#newMove()
    const giving = move.opened(from)
    const going = this.#drawPieces(move, from, giving)
    for (const t of going) this.#vary(t)
    if (going.some((t) => !move.mayLie(t, to))) return null
    const stays = from.drum === to.drum && from.stretch === to.stretch
    const taking = stays ? giving : move.opened(to)
    for (const t of going) move.put(t, to)
    if (!this.#makeRoom(move, from, to, taking, going)) return null
    this.#lay(move)
    return move
  }

  #drawFrom(): Spot | null {
    if (this.#now.missing.length > 0 && this.#random() < FROM_MISSING) return { drum: NOT_SERVED, stretch: 0 }
    // a full spot is soon drawn: most are
    for (let n = 0; n < 20; n++) {
      const spot = this.#drawSpot()
      if (this.#now.drums[spot.drum]!.taken[spot.stretch]!.length > 0) return spot
    }
    return null
  }

  /** Any stretch of any drum, each as likely. */
  #drawSpot(): Spot {
    let at = Math.floor(this.#random() * this.#now.drums.reduce((sum, s) => sum + s.taken.length, 0))
    let drum = 0
    while (at >= this.#now.drums[drum]!.taken.length) at -= this.#now.drums[drum++]!.taken.length
    return { drum, stretch: at }
  }

  /** Takes out some pieces: a whole put-up, all copies of a piece, or a few of them. */
  #drawPieces(move: PieceMove, from: Spot, giving: Taken[]): Taken[] {
    const at = Math.floor(this.#random() * giving.length)
    const { group, count } = giving[at]!
    const kind = this.#random()
    if (kind >= WHOLE_PUTUP) {
      const n = kind < ALL_COPIES ? count : 1 + Math.floor(this.#random() * count)
      return [move.takeOut(from, at, n)]
    }
    const going: Taken[] = []
    for (let i = giving.length - 1; i >= 0; i--)
      if (giving[i]!.group === group) going.push(move.takeOut(from, i, giving[i]!.count))
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
  #makeRoom(move: PieceMove, from: Spot, to: Spot, taking: Taken[], going: Taken[]): boolean {
    const mayGoBack = ({ item }: Taken) => going.every((t) => t.item !== item)
    let exchange = this.#random() < EXCHANGE
    for (let n = 0; n < MOST_RETURNED; n++) {
      const overUm = move.overUm(to)
      if (overUm <= 0 && !exchange) break
      exchange = false
      let others = 0
      for (const t of taking) if (mayGoBack(t)) others++
      if (others === 0) return overUm <= 0
      let nth = Math.floor(this.#random() * others)
      const at = taking.findIndex((t) => mayGoBack(t) && nth-- === 0)
      const back = taking[at]!
      if (!move.mayLie(back, from)) return false
      const few = Math.min(back.count, Math.max(1, Math.ceil(overUm / back.cutUm)))
      move.put(move.takeOut(to, at, this.#random() < 0.3 ? back.count : few), from)
    }
    return move.overUm(to) <= 0 && move.overUm(from) <= 0
  }
}

/** Adds to pieces that stand the longest first, alike ones as one: faster than to sort so few. */
function gather(pieces: Taken[], piece: Taken): void {
  const same = alike(pieces, piece)
  if (same) {
    same.count += piece.count
    return
  }
  let at = pieces.length
  for (; at > 0 && pieces[at - 1]!.cutUm < piece.cutUm; at--) pieces[at] = pieces[at - 1]!
  pieces[at] = copyOf(piece)
}
