import type { LengthUm } from '../quantity/length.ts'
import type { LongPieces } from './long-pieces.ts'
import { bit, bitsFor, has } from './putup-bits.ts'
import type { RelaxedFill } from './relaxed-fill.ts'
import { type OfferShape, offeredAt } from './relaxed-offers.ts'
import type { Offered, Taken } from './stretch-fill.ts'

/** Put-ups of short pieces that a change is reckoned for; each doubles the work. */
const MOST_PAID = 4

/** Put-ups, bit by bit, that are paid for on a drum and then free, and that nothing on it may be on. */
export interface PutupBranch {
  required: number
  barred: number
}

/** One choice of long pieces in a stretch. */
export interface LongWay {
  code: number
  bits: number
  /** Put-ups that they are on, bit by bit. */
  putups: number
  /** Cells that they fill at full length, rounded down. */
  cells: number
  /** What the works pays for put-ups that it chose, and for pieces that are shorter than ordered in any case. */
  costMicro: number
  /** Cells that minus tolerances could save, and what each costs at least. */
  spareCells: number
  lossMicro: number
}

/** The first kinds of long pieces, and in what ways they may be given out. */
export interface Begun {
  kinds: number
  letsIn: (way: Pick<LongWay, 'code' | 'bits'>) => boolean
}

/** What rests of a stretch are worth, by cells filled: where the drum is stopped in it, and where it is passed. */
export interface Rests {
  stops: Float64Array
  passes: Float64Array
}

/**
 * One stretch of a drum: the choices of long pieces that it holds, and what short ones at given prices earn beside each, put-ups
 * in use by put-ups in use.
 */
export class LongStretch {
  /** The choices that are looked at. */
  ways: LongWay[] = []
  readonly #all: LongWay[] = []
  readonly cells: number
  readonly lengthUm: LengthUm
  readonly cellUm: number
  readonly #short: OfferShape[]
  /** Put-ups of short pieces whose change is paid for; of more than a few the rest is let in for nothing. */
  readonly #paid: number[]
  #rests: Rests
  readonly #begun: Begun | null
  /** Worth of what is left, by cells left; the other way round than the rests. */
  #left: { stop: Float64Array; pass: Float64Array }

  /** `begun`: how many kinds, the first of them, are known to be given out in no other ways than it lets in. */
  constructor(
    pieces: LongPieces,
    shapes: OfferShape[],
    lengthUm: LengthUm,
    cellUm: number,
    rests: Rests,
    begun: Begun | null,
  ) {
    this.lengthUm = lengthUm
    this.cellUm = cellUm
    this.cells = Math.floor(lengthUm / cellUm)
    this.#short = shapes.filter((s) => !pieces.holds[s.item])
    this.#paid = mostOffered(this.#short)
    this.#rests = rests
    this.#left = { stop: byCellsLeft(rests.stops), pass: byCellsLeft(rests.passes) }
    this.#begun = begun
    this.#enter(
      pieces,
      shapes,
      0,
      { leastUm: 0, mostUm: 0, lossPerUm: Number.POSITIVE_INFINITY },
      {
        code: 0,
        bits: 0,
        putups: 0,
        cells: 0,
        costMicro: 0,
        spareCells: 0,
        lossMicro: 0,
      },
    )
    this.ways = this.#all
  }

  /** Put-ups, by number, that pieces here could be on and pay for. */
  get putups(): number {
    return this.ways.reduce((all, w) => all | w.putups, bitsFor(this.#paid))
  }

  /** What rests are worth from now on. */
  setRests(rests: Rests): void {
    this.#rests = rests
    this.#left = { stop: byCellsLeft(rests.stops), pass: byCellsLeft(rests.passes) }
  }

  /** Looks at no other choices than these. */
  restrict(useful: (way: LongWay) => boolean): void {
    this.ways = this.#all.filter(useful)
  }

  /**
   * Calls back, for each way and each set of put-ups in use with it, with the most that the stretch earns where the drum is
   * stopped in it and, where it may be `passed`, where it is passed. `used` are the put-ups that short pieces are on.
   */
  earn(
    fill: RelaxedFill,
    prices: Float64Array,
    caps: Float64Array,
    passed: boolean,
    branch: PutupBranch,
    each: (way: number, putups: number, used: number, stopMicro: number, passMicro: number) => void,
  ): void {
    const offered = this.#offered(prices, caps, branch)
    const putups = this.#paid.filter((p) => !has(branch.required, p) && offered.some((o) => o.group === p))
    const mine = bitsFor(putups)
    // beside long pieces there is seldom much room
    const room = this.ways.reduce((most, way) => Math.max(most, this.#roomBeside(way)), 0)
    const more = (left: Float64Array, within: Offered[]) => {
      if (within.length === 0) return left
      fill.run(room * this.cellUm, this.cellUm, within, () => 0, left.subarray(0, room + 1))
      return fill.best.slice(0, room + 1)
    }
    // each further put-up joins what the ones before it are filled in with, so that none is filled in twice
    const withPutups = (next: number, used: number, stops: Float64Array, passes: Float64Array) => {
      const putup = putups[next]
      if (putup === undefined) {
        for (const [w, way] of this.ways.entries()) {
          // a put-up that long pieces are on is free for short ones
          if ((way.putups & mine & ~used) !== 0) continue
          const passMicro = passed ? this.#most(passes, way) : 0
          each(w, (way.putups | used) & ~branch.required, used, this.#most(stops, way), passMicro)
        }
        return
      }
      withPutups(next + 1, used, stops, passes)
      const within = offered.filter((o) => o.group === putup)
      withPutups(next + 1, used | bit(putup), more(stops, within), passed ? more(passes, within) : passes)
    }
    const free = offered.filter((o) => !has(mine, o.group))
    withPutups(0, 0, more(this.#left.stop, free), passed ? more(this.#left.pass, free) : this.#left.pass)
  }

  /** The short pieces behind what a way earns with put-ups in use. */
  taken(
    fill: RelaxedFill,
    prices: Float64Array,
    caps: Float64Array,
    way: number,
    used: number,
    stopped: boolean,
    branch: PutupBranch,
  ): { taken: Taken[]; leftUm: LengthUm } {
    const within = this.#offered(prices, caps, branch).filter(
      (o) => has(used | branch.required, o.group) || !this.#paid.includes(o.group),
    )
    const { cells, spareCells, lossMicro } = this.ways[way]!
    fill.run(this.#roomBeside(this.ways[way]!) * this.cellUm, this.cellUm, within, () => 0)
    const rests = stopped ? this.#rests.stops : this.#rests.passes
    let most = Number.NEGATIVE_INFINITY
    let at = 0
    let all = 0
    for (let h = 0; h <= spareCells; h++) {
      const filled = cells - h
      for (let x = 0; x <= this.cells - filled; x++) {
        const value = fill.best[x]! + rests[filled + x]! - Math.max(0, h - 1) * lossMicro
        if (filled >= 0 && value > most) {
          most = value
          at = x
          all = filled + x
        }
      }
    }
    return { taken: fill.taken(at), leftUm: this.lengthUm - all * this.cellUm }
  }

  /** Cells left beside long pieces at their shortest. */
  #roomBeside({ cells, spareCells }: LongWay): number {
    return Math.max(0, Math.min(this.cells, this.cells - cells + spareCells))
  }

  #offered(prices: Float64Array, caps: Float64Array, { barred }: PutupBranch): Offered[] {
    return offeredAt(this.#short, prices, caps).filter((o) => !has(barred, o.group))
  }

  #most(table: Float64Array, { cells, costMicro, spareCells, lossMicro }: LongWay): number {
    const free = this.cells - cells
    let most = free >= 0 ? table[free]! : Number.NEGATIVE_INFINITY
    for (let h = Math.max(1, -free); h <= spareCells; h++)
      most = Math.max(most, table[free + h]! - (h - 1) * lossMicro)
    return most - costMicro
  }

  #enter(
    pieces: LongPieces,
    shapes: OfferShape[],
    number: number,
    length: { leastUm: LengthUm; mostUm: LengthUm; lossPerUm: number },
    way: LongWay,
  ): void {
    if (number === this.#begun?.kinds && !this.#begun.letsIn(way)) return
    const kind = pieces.kinds[number]
    if (!kind) {
      const { leastUm, mostUm, lossPerUm } = length
      // rounding adds a cell, and the first of them costs nothing
      const spareCells = mostUm > leastUm ? Math.ceil((mostUm - leastUm) / this.cellUm) + 1 : 0
      const cells = Math.floor(mostUm / this.cellUm)
      const lossMicro = spareCells > 0 ? lossPerUm * this.cellUm : 0
      this.#all.push({ ...way, cells, spareCells: Math.min(spareCells, cells), lossMicro })
      return
    }
    this.#enter(pieces, shapes, number + 1, length, way)
    for (const shape of shapes) {
      if (shape.item !== kind.items[0]!.index) continue
      const leastUm = shape.shrink?.leastCutUm ?? shape.cutUm
      const lossPerUm = Math.min(length.lossPerUm, shape.shrink?.lossMicro ?? Number.POSITIVE_INFINITY)
      for (let n = 1; n <= kind.demand && length.leastUm + n * leastUm <= this.lengthUm; n++)
        this.#enter(
          pieces,
          shapes,
          number + 1,
          { leastUm: length.leastUm + n * leastUm, mostUm: length.mostUm + n * shape.cutUm, lossPerUm },
          {
            ...way,
            code: way.code + n * kind.stride,
            bits: way.bits + n * kind.one,
            putups: way.putups | bit(shape.group),
            costMicro: way.costMicro + n * shape.costMicro,
          },
        )
    }
  }
}

/** The put-ups with most length on offer. */
function mostOffered(shapes: OfferShape[]): number[] {
  const lengths = new Map<number, number>()
  for (const s of shapes) lengths.set(s.group, (lengths.get(s.group) ?? 0) + s.copies * s.cutUm)
  return [...lengths]
    .sort((a, b) => b[1] - a[1])
    .slice(0, MOST_PAID)
    .map(([putup]) => putup)
}

/**
 * Rests by cells left instead of filled, and never worth less for more of them: pieces that are worth nothing at the prices given,
 * and so are not offered, may have to fill what must not be left.
 */
function byCellsLeft(rests: Float64Array): Float64Array {
  const left = rests.slice().reverse()
  for (let x = 1; x < left.length; x++) left[x] = Math.max(left[x]!, left[x - 1]!)
  return left
}
