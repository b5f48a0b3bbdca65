import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import { type BesidePieces, liesBeside } from './beside-fault.ts'
import type { SoftFault } from './drum-model.ts'
import {
  type Filling,
  type LongFillings,
  mostOf,
  type PutupBranch,
  type PutupUse,
  paidFor,
  type ShortPieces,
} from './long-fillings.ts'
import type { LongPieces } from './long-pieces.ts'
import { BLOCK, BLOCK_BITS, type Rest, type Rests } from './long-rests.ts'
import { bit, bitsFor } from './putup-bits.ts'
import type { OfferShape } from './relaxed-offers.ts'
import { SlidingMost } from './sliding-most.ts'
import type { Taken } from './stretch-fill.ts'

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

/** What is asked of every way: how put-ups are used, and whether the drum is stopped in the stretch or it is passed. */
export interface Question {
  use: PutupUse
  rest: keyof Rests
  /** Where the answers go: that of a way from `stride` times its number and `at` on. */
  out: Float64Array
  at: number
  stride: number
}

/** A question, and what is paid with each filling that is as it asks. */
interface Asked {
  question: Question
  paidMicro: (MicroEur | null)[]
}

/** A way and what was answered for it. */
export interface Answered {
  use: PutupUse
  rest: keyof Rests
  way: number
  unused: number
}

const RESTS = ['stop', 'pass'] as const

/** The first kinds of long pieces, and in what ways they may be given out. */
export interface Begun {
  kinds: number
  letsIn: (way: Pick<LongWay, 'code' | 'bits'>) => boolean
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
  readonly #short: ShortPieces
  #rests: Rests
  readonly #begun: Begun | null
  readonly #faults: SoftFault[]
  /** Long pieces of the choice that is being entered. */
  readonly #entered: BesidePieces[] = []
  readonly #shortened = new SlidingMost()
  /** By units in no piece. */
  readonly #earned: Float64Array

  /** `begun`: how many kinds, the first of them, are known to be given out in no other ways than it lets in. */
  constructor(
    fillings: LongFillings,
    pieces: LongPieces,
    shapes: OfferShape[],
    faults: SoftFault[],
    lengthUm: LengthUm,
    cellUm: number,
    rests: Rests,
    begun: Begun | null,
  ) {
    this.lengthUm = lengthUm
    this.cellUm = cellUm
    this.cells = Math.floor(lengthUm / cellUm)
    this.#short = fillings.shortPieces(
      shapes.filter((shape) => !pieces.holds[shape.item]),
      cellUm,
    )
    this.#rests = rests
    this.#earned = new Float64Array(pieces.unused.most + 1)
    this.#begun = begun
    this.#faults = faults
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
    return this.ways.reduce((all, w) => all | w.putups, bitsFor(this.#short.paid))
  }

  /** What rests are worth from now on. */
  setRests(rests: Rests): void {
    this.#rests = rests
  }

  /** Looks at no other choices than these. */
  restrict(useful: (way: LongWay) => boolean): void {
    this.ways = this.#all.filter(useful)
  }

  /**
   * The most that each way earns, put-ups in use being paid for, as each question asks: into its `out`, by way and by units in no
   * piece.
   */
  earn(short: LongFillings, branch: PutupBranch, changeMicro: MicroEur, questions: Question[]): void {
    const fillings = short.of(this.#short, branch, this.#mostRoom())
    const table = new Float64Array(this.cells + 1)
    for (const [putups, ways] of this.#byPutups(branch)) {
      const room = Math.max(...ways.map((w) => this.#roomBeside(this.ways[w]!)))
      const asked = questions.map((question) => ({
        question,
        paidMicro: fillings.map((filling) => paidFor(filling, putups, question.use, changeMicro)),
      }))
      // of ways that are many, all fillings of a question are joined first; of few it is the questions that are many
      const joins = asked.reduce((sum, { paidMicro }) => sum + paidMicro.filter((p) => p !== null).length, 0)
      if (joins + asked.length * ways.length < RESTS.length * fillings.length * ways.length)
        for (const { question, paidMicro } of asked) {
          const { rest, out, at, stride } = question
          if (!mostOf(fillings, paidMicro, table.subarray(0, room + 1))) continue
          for (const w of ways)
            this.#most(table, room, this.ways[w]!, this.#rests[rest], out, w * stride + at)
        }
      else for (const w of ways) this.#answer(fillings, room, w, asked)
    }
  }

  /** Answers the questions for one way, filling by filling. */
  #answer(fillings: Filling[], room: number, w: number, asked: Asked[]): void {
    const earned = this.#earned
    for (const rest of RESTS) {
      const of = asked.filter((a) => a.question.rest === rest)
      for (const [f, { table }] of fillings.entries()) {
        const asking = of.filter(({ paidMicro }) => paidMicro[f] !== null)
        if (asking.length === 0) continue
        earned.fill(Number.NEGATIVE_INFINITY)
        this.#most(table, room, this.ways[w]!, this.#rests[rest], earned, 0)
        for (const { question, paidMicro } of asking) {
          const { out, stride, at } = question
          for (let u = 0; u < earned.length; u++) {
            const slot = w * stride + at + u
            out[slot] = Math.max(out[slot]!, earned[u]! - paidMicro[f]!)
          }
        }
      }
    }
  }

  /** The short pieces behind what a way earns as it was asked, with so many units in no piece. */
  taken(
    short: LongFillings,
    branch: PutupBranch,
    changeMicro: MicroEur,
    { use, rest, way: number, unused }: Answered,
  ): { taken: Taken[]; leftUm: LengthUm } {
    const way = this.ways[number]!
    const { cells, spareCells, lossMicro } = way
    const room = this.#roomBeside(way)
    const { micro, runs } = this.#rests[rest]
    let most = Number.NEGATIVE_INFINITY
    let best = { at: 0, filled: 0, used: 0 }
    const putups = way.putups & ~branch.required
    for (const filling of short.of(this.#short, branch, this.#mostRoom())) {
      const { table, used } = filling
      const paidMicro = paidFor(filling, putups, use, changeMicro)
      if (paidMicro === null) continue
      for (let h = 0; h <= spareCells; h++)
        for (const { from, to } of runs.filter((r) => r.unused === unused))
          for (let filled = Math.max(from, cells - h); filled <= to; filled++) {
            const at = filled - cells + h
            if (at > room) break
            const value = table[at]! + micro[filled]! - Math.max(0, h - 1) * lossMicro - paidMicro
            if (value > most) {
              most = value
              best = { at, filled, used }
            }
          }
    }
    return {
      taken: short.taken(this.#short, branch, best.used, best.at),
      leftUm: this.lengthUm - best.filled * this.cellUm,
    }
  }

  /** Numbers of the ways by the put-ups that their long pieces are on and pay for. */
  #byPutups({ required }: PutupBranch): Map<number, number[]> {
    const groups = new Map<number, number[]>()
    for (const [w, way] of this.ways.entries()) {
      const putups = way.putups & ~required
      const of = groups.get(putups)
      if (of) of.push(w)
      else groups.set(putups, [w])
    }
    return groups
  }

  /** Cells left beside long pieces at their shortest. */
  #roomBeside({ cells, spareCells }: LongWay): number {
    return Math.max(0, Math.min(this.cells, this.cells - cells + spareCells))
  }

  /** Beside long pieces there is seldom much room. */
  #mostRoom(): number {
    return this.ways.reduce((most, way) => Math.max(most, this.#roomBeside(way)), 0)
  }

  /** The most that a way earns with a rest, by units in no piece, where short pieces earn as `table` says up to so much room. */
  #most(
    table: Float64Array,
    room: number,
    { cells, costMicro, spareCells, lossMicro }: LongWay,
    { micro, blocks, runs }: Rest,
    out: Float64Array,
    at: number,
  ): void {
    const short = spareCells > 0 ? this.#shortened : null
    short?.begin(table, room, spareCells, lossMicro)
    for (const { unused, from, to } of runs) {
      let most = Number.NEGATIVE_INFINITY
      const first = Math.max(from, cells - spareCells)
      if (short)
        for (let filled = first; filled <= to; filled++)
          most = Math.max(most, short.at(filled - cells) + micro[filled]!)
      else
        for (let block = first; block <= to; ) {
          const last = Math.min(to, block | (BLOCK - 1))
          // more room earns no less, so that this is the most of the block
          if (table[last - cells]! + blocks[block >> BLOCK_BITS]! > most)
            for (let filled = block, x = block - cells; filled <= last; filled++, x++) {
              const earned = table[x]! + micro[filled]!
              if (earned > most) most = earned
            }
          block = last + 1
        }
      const slot = at + unused
      out[slot] = Math.max(out[slot]!, most - costMicro)
    }
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
      for (let n = 1; n <= kind.demand && length.leastUm + n * leastUm <= this.lengthUm; n++) {
        this.#entered.push({ items: kind.items, lengthUm: leastUm, count: n })
        const holds = this.#faults.every((fault) => liesBeside(fault, this.#entered))
        if (holds)
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
        this.#entered.pop()
        if (!holds) break
      }
    }
  }
}
