import type { MicroEur } from '../quantity/money.ts'
import type { Catalog } from './catalog.ts'
import { placeTakes } from './drum-model.ts'
import type { TypeInstance } from './instance.ts'
import { layOut, type Pattern } from './pattern.ts'
import type { Random } from './random.ts'
import { chained } from './stretch-chain.ts'
import type { Taken } from './stretch-fill.ts'
import { type TypeSolution, unservedOf } from './type-solution.ts'

/** One drum as it stands: what is taken from each of its stretches. */
interface Standing {
  place: number
  division: number
  taken: Taken[][]
  pattern: Pattern | null
}

/** A drum and one of its stretches; drum −1 are the pieces that are not served. */
interface Spot {
  drum: number
  stretch: number
}

/** A change that has been thought out and not been made. */
interface Move {
  drums: Map<number, Standing>
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
const LOOK_EVERY = 200
/** How often an empty drum is given another place. */
const ELSEWHERE = 0.1
/** Service comes first: see the master program. */
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
  #standings: Standing[] = []
  #missing: Taken[] = []
  /** Moves tried so far: a measure of work. */
  work = 0

  constructor(catalog: Catalog, instance: TypeInstance, random: Random) {
    this.#catalog = catalog
    this.#instance = instance
    this.#random = random
    const mounts = instance.drums.map((d) => Math.min(...d.places.map((p) => p.mountMicro)))
    this.#warmMicro = (mounts.reduce((a, b) => a + b, 0) / Math.max(1, mounts.length)) * WARM_SHARE
  }

  /** Starts from a plan and answers the best one met. */
  run(from: TypeSolution, moves: number, late: () => boolean): Pattern[] {
    if (this.#instance.drums.length === 0) return from.patterns
    this.#begin(from)
    let costMicro = this.#costOf(this.#standings, this.#missing)
    let bestMicro = costMicro
    let best = from.patterns
    for (let n = 0; n < moves; n++) {
      if (n % LOOK_EVERY === 0 && late()) break
      this.work++
      const move = this.#draw()
      if (!move) continue
      const standings = this.#standings.map((s, d) => move.drums.get(d) ?? s)
      const nextMicro = this.#costOf(standings, move.missing)
      const warmMicro = this.#warmMicro * COLD ** (n / moves)
      if (nextMicro > costMicro && this.#random() >= Math.exp((costMicro - nextMicro) / warmMicro)) continue
      this.#standings = standings
      this.#missing = move.missing
      costMicro = nextMicro
      if (costMicro >= bestMicro - 1) continue
      bestMicro = costMicro
      best = standings.flatMap((s) => (s.pattern ? [s.pattern] : []))
    }
    return best
  }

  #begin(from: TypeSolution): void {
    const { drums, items } = this.#instance
    this.#standings = drums.map((model, d) => {
      const pattern = from.patterns.find((p) => p.drum === d) ?? null
      const division = pattern?.division ?? 0
      const taken = model.divisions[division]!.map((_, s) => [...(pattern?.taken[s] ?? [])])
      return { place: pattern?.place ?? 0, division, taken, pattern }
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

  #costOf(standings: Standing[], missing: Taken[]): MicroEur {
    const instance = this.#instance
    let sum = 0
    const lines = new Set<string>()
    for (const [d, { pattern, place }] of standings.entries()) {
      if (!pattern) continue
      sum += pattern.costMicro
      lines.add(instance.drums[d]!.places[place]!.id)
    }
    for (const line of lines) sum += instance.lineFixed.get(line) ?? 0
    for (const { item, count } of missing) {
      const wanted = instance.items[item]!
      sum += SERVICE_WEIGHT * unservedOf(wanted, count) + count * wanted.creditMicro
    }
    return sum
  }

  /** A random change that keeps the rules; null where the draw led to none. */
  #draw(): Move | null {
    const from = this.#drawFrom()
    const to = this.#drawSpot()
    if (!from || (from.drum === to.drum && from.stretch === to.stretch)) return null
    const move: Move = { drums: new Map(), missing: this.#missing }
    const giving = this.#opened(move, from)
    const taking = this.#opened(move, to)
    const going = this.#drawPieces(giving)
    if (going.some((t) => !this.#mayLie(t, to, move))) return null
    for (const t of going) put(taking, t)
    if (!this.#makeRoom(move, from, to, giving, taking, going)) return null
    for (const [d, standing] of move.drums) if (!this.#laid(d, standing)) return null
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
      if (move.missing === this.#missing) move.missing = this.#missing.map((t) => ({ ...t }))
      return move.missing
    }
    const known = move.drums.get(drum)
    const standing = known ?? { ...this.#standings[drum]!, taken: [...this.#standings[drum]!.taken] }
    move.drums.set(drum, standing)
    const copy = standing.taken[stretch]!.map((t) => ({ ...t }))
    standing.taken[stretch] = copy
    return copy
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

  /** Sends pieces back until the rest fits; now and then one at least, where all would fit. */
  #makeRoom(move: Move, from: Spot, to: Spot, giving: Taken[], taking: Taken[], going: Taken[]): boolean {
    const moved = new Set(going.map((t) => t.item))
    let exchange = this.#random() < EXCHANGE
    for (let n = 0; n < MOST_RETURNED; n++) {
      const overUm = this.#overUm(move, to)
      if (overUm <= 0 && !exchange) break
      exchange = false
      const others = taking.flatMap((t, i) => (moved.has(t.item) ? [] : [i]))
      const at = others[Math.floor(this.#random() * others.length)]
      if (at === undefined) return overUm <= 0
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
    const { division, taken } = move.drums.get(drum)!
    const lengthsUm = taken.map((of) => of.reduce((sum, t) => sum + t.count * t.cutUm, 0))
    return -chained(this.#instance.drums[drum]!.divisions[division]!, lengthsUm)[stretch]!.roomUm
  }

  #mayLie(t: Taken, { drum, stretch }: Spot, move: Move): boolean {
    if (drum === NOT_SERVED) return true
    const item = this.#instance.items[t.item]!
    const model = this.#instance.drums[drum]!
    const { division, place } = move.drums.get(drum)!
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
  #laid(drum: number, standing: Standing): boolean {
    const model = this.#instance.drums[drum]!
    const { place, division, taken } = standing
    if (taken.every((t) => t.length === 0)) {
      standing.pattern = null
      if (this.#random() < ELSEWHERE) standing.place = Math.floor(this.#random() * model.places.length)
      standing.division = 0
      standing.taken = model.divisions[0]!.map(() => [])
      return true
    }
    standing.pattern = layOut(this.#catalog, this.#instance.items, model, drum, place, division, taken)
    return standing.pattern !== null
  }
}

function takeOut(from: Taken[], at: number, count: number): Taken {
  const taken = { ...from[at]!, count }
  from[at]!.count -= count
  if (from[at]!.count === 0) from.splice(at, 1)
  return taken
}

function put(into: Taken[], piece: Taken): void {
  const same = into.find((t) => t.item === piece.item && t.option === piece.option && t.cutUm === piece.cutUm)
  if (same) same.count += piece.count
  else into.push({ ...piece })
}
