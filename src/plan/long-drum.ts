import type { LengthUm } from '../quantity/length.ts'
import type { Catalog } from './catalog.ts'
import type { DrumModel } from './drum-model.ts'
import type { Item } from './item.ts'
import type { LongPieces } from './long-pieces.ts'
import { LongStretch, type LongWay, type PutupBranch, type Rests } from './long-stretch.ts'
import type { PlaceSet } from './place-set.ts'
import { bit, putupsIn } from './putup-bits.ts'
import type { RelaxedFill } from './relaxed-fill.ts'
import { amountsOf, shapesApart } from './relaxed-offers.ts'
import { ANY_REST, type RestRange, RestWorth } from './rest-worth.ts'

const NEVER = Number.NEGATIVE_INFINITY
const FREE: PutupBranch = { required: 0, barred: 0 }
/** Roundings to cells that may add up: of the long pieces, of the short ones, of what tolerances save. */
const SLACK_CELLS = 3

/** By way of a stretch: the most that it earns, by the put-up before it and the put-up it ends with. */
interface Earned {
  /** Stopped here, after any put-up, or after one (`way * putups + before`) that goes on. */
  stop: Float64Array
  stopAfter: Float64Array
  stopUsed: Int32Array
  stopAfterUsed: Int32Array
  /** Passed with no piece in it. */
  through: Float64Array
  /** Passed, by last put-up (`way * putups + last`); and by the one before it too (`(way * putups + before) * putups + last`). */
  pass: Float64Array
  passAfter: Float64Array
  passUsed: Int32Array
  passAfterUsed: Int32Array
}

/** What goes with a choice of long pieces: short pieces by item, put-ups in use bit by bit, and what stays on the drum. */
export interface Filled {
  amounts: Map<number, number>
  putups: number
  restUm: LengthUm
}

/** What is known of a drum from when fewer kinds were long: the choices of these that are left; null for all. */
export interface BaseCodes {
  pieces: LongPieces
  codes: ReadonlySet<number> | null
}

/** By code: the most earned so far, by last put-up; the last of them all is none yet. */
type Reached = Map<number, Float64Array>

/**
 * One drum at one set of places, worked in one way: what it earns at most with each choice of long pieces, short ones at prices.
 * From the outer end inwards: each stretch is filled with any of the put-ups it may hold, and a change is paid wherever a stretch
 * cannot go on with the put-up that the one before ended with.
 */
export class LongDrum {
  readonly set: PlaceSet
  readonly stretches: LongStretch[]
  readonly #pieces: LongPieces
  readonly #base: BaseCodes | null
  readonly #items: Item[]
  readonly #catalog: Catalog
  #worth: RestWorth
  readonly #worthIn: (range: RestRange) => RestWorth
  #range = ANY_REST
  /** Number of each put-up on this drum. */
  readonly #numbers = new Map<number, number>()
  /** By set of put-ups, bit by bit: their numbers. */
  readonly #sets = new Map<number, number[]>()
  /** Choices looked at so far, beside the stretches filled. */
  steps = 0
  #codes: ReadonlySet<number> | null = null
  #putups: PutupBranch = FREE

  constructor(
    catalog: Catalog,
    items: Item[],
    pieces: LongPieces,
    model: DrumModel,
    set: PlaceSet,
    woundOff: boolean,
    cells: number,
    base: BaseCodes | null,
  ) {
    this.set = set
    this.#pieces = pieces
    this.#base = base
    this.#items = items
    this.#catalog = catalog
    const stretches = woundOff ? model.relaxed.map((s) => ({ ...s, insideUm: 0 })) : model.parts
    this.#worthIn = (range) => new RestWorth(catalog, model, set, stretches, woundOff, range)
    this.#worth = this.#worthIn(ANY_REST)
    // where no choice is left there is nothing to look at
    const open = base?.codes?.size === 0 ? [] : stretches
    this.stretches = open.map((stretch, k) => {
      const lengthUm = this.#worth.lengthUm(k)
      const cellUm = Math.max(1, Math.ceil(lengthUm / cells))
      const shapes = shapesApart(items, set, stretch, catalog.input.site.cutRules)
      const begun = base && {
        kinds: base.pieces.kinds.length,
        letsIn: this.#within(base.codes, stretches.length),
      }
      return new LongStretch(pieces, shapes, lengthUm, cellUm, this.#restsOf(k, cellUm), begun)
    })
    for (const putup of putupsIn(this.stretches.reduce((all, s) => all | s.putups, 0)))
      this.#numbers.set(putup, this.#numbers.size)
  }

  /** Looks at no other choices than these; null for all. */
  restrict(codes: ReadonlySet<number> | null, putups: PutupBranch, range: RestRange): void {
    this.#limit(range)
    if (codes === this.#codes && putups === this.#putups) return
    this.#codes = codes
    this.#putups = putups
    const within = this.#within(codes, this.stretches.length)
    for (const stretch of this.stretches)
      stretch.restrict((way) => (way.putups & putups.barred) === 0 && within(way))
  }

  /** Whether what is given out in one of so many stretches may be a part of one of these choices. */
  #within(
    codes: ReadonlySet<number> | null,
    stretches: number,
  ): (way: Pick<LongWay, 'code' | 'bits'>) => boolean {
    if (!codes) return () => true
    if (stretches === 1) return ({ code }) => codes.has(code)
    const whole = [...codes].map((code) => this.#pieces.bitsOf(code))
    return ({ bits }) => whole.some((all) => this.#pieces.within(bits, all))
  }

  /** Whether a choice is let in, of all that its stretches together would make up. */
  #letsIn(code: number): boolean {
    if (this.#codes) return this.#codes.has(code)
    return this.#base?.codes?.has(code % this.#base.pieces.codes) !== false
  }

  /** About how many steps it takes to find what each choice earns; `times` as many choices. */
  effort(times: number): number {
    const [first] = this.stretches
    if (!first) return 0
    if (this.stretches.length === 1) return first.ways.length * times
    const choices = this.#codes?.size ?? this.#pieces.codes
    return this.stretches.reduce((sum, s) => sum + s.ways.length * choices * times ** 2, 0)
  }

  #limit(range: RestRange): void {
    const { leastUm, mostUm, spareUm } = this.#range
    if (range.leastUm === leastUm && range.mostUm === mostUm && range.spareUm === spareUm) return
    this.#range = range
    this.#worth = this.#worthIn(range)
    for (const [k, stretch] of this.stretches.entries()) stretch.setRests(this.#restsOf(k, stretch.cellUm))
  }

  #restsOf(k: number, cellUm: number): Rests {
    const count = Math.floor(this.#worth.lengthUm(k) / cellUm)
    return {
      stops: this.#worth.stops(k, cellUm, count, SLACK_CELLS * cellUm),
      passes: this.#worth.passes(k, cellUm, count, SLACK_CELLS * cellUm),
    }
  }

  /** What each choice earns at these prices; the highest of equal codes counts. */
  most(fill: RelaxedFill, prices: Float64Array, caps: Float64Array): Map<number, number> {
    const most = new Map<number, number>()
    // nothing can be cut of a drum without a clean stretch
    if ((this.stretches[0]?.ways.length ?? 0) === 0) return most
    this.#walk(this.#earned(fill, prices, caps), (code, micro) => {
      if (this.#letsIn(code) && micro > (most.get(code) ?? NEVER)) most.set(code, micro)
    })
    for (const [code, micro] of most) most.set(code, this.#total(micro))
    return most
  }

  /** Short pieces that go with a choice of long ones, by item. */
  shortOf(fill: RelaxedFill, prices: Float64Array, caps: Float64Array, code: number): Filled {
    const earned = this.#earned(fill, prices, caps)
    const layers: Reached[] = []
    let best = NEVER
    let at: { k: number; before: number; last: number; way: number; used: number } | null = null
    this.#walk(
      earned,
      (reached, micro, k, before, last, way) => {
        if (reached !== code || micro <= best) return
        best = micro
        const n = this.#numbers.size
        const e = earned[k]!
        const used = last < n ? e.stopAfterUsed[way * n + last]! : e.stopUsed[way]!
        at = { k, before, last, way, used }
      },
      layers,
    )
    return at === null
      ? { amounts: new Map(), putups: 0, restUm: 0 }
      : this.#back(fill, prices, caps, earned, layers, at)
  }

  #back(
    fill: RelaxedFill,
    prices: Float64Array,
    caps: Float64Array,
    earned: Earned[],
    layers: Reached[],
    stop: { k: number; before: number; last: number; way: number; used: number },
  ): Filled {
    const stopped = this.stretches[stop.k]!.taken(fill, prices, caps, stop.way, stop.used, true, this.#putups)
    const taken = [...stopped.taken]
    const restUm = this.#worth.keptUm(stop.k, stopped.leftUm, SLACK_CELLS * this.stretches[stop.k]!.cellUm)
    let putups = this.stretches[stop.k]!.ways[stop.way]!.putups
    let code = stop.before
    let last = stop.last
    for (let k = stop.k - 1; k >= 0; k--) {
      const came = this.#cameFrom(earned[k]!, layers, k, code, last)
      taken.push(
        ...this.stretches[k]!.taken(fill, prices, caps, came.way, came.used, false, this.#putups).taken,
      )
      putups |= this.stretches[k]!.ways[came.way]!.putups
      code = came.code
      last = came.last
    }
    for (const t of taken) putups |= bit(t.group)
    return { amounts: amountsOf(this.#items, taken, this.#catalog.input.site.cutRules), putups, restUm }
  }

  /** The step by which a state was reached: the one whose sum is the same to the last bit. */
  #cameFrom(
    e: Earned,
    layers: Reached[],
    k: number,
    code: number,
    last: number,
  ): { code: number; last: number; way: number; used: number } {
    const n = this.#numbers.size
    const state = layers[k + 1]!.get(code)!
    // where any put-up would do, the dearest is what was gone on from
    const lasts = last <= n && state[last] !== NEVER ? [last] : [...state.keys()]
    const target = Math.max(...lasts.map((l) => state[l]!))
    const at = lasts.find((l) => state[l] === target)!
    const gapMicro = this.#worth.gapBeforeMicro(k)
    for (const [w, way] of this.stretches[k]!.ways.entries()) {
      const before = layers[k]!.get(code - way.code)
      if (!before) continue
      const most = gapMicro + Math.max(...before)
      const any = before.indexOf(Math.max(...before))
      if (gapMicro + before[at]! + e.through[w]! === target)
        return { code: code - way.code, last: at, way: w, used: 0 }
      if (at === n) continue
      if (most + e.pass[w * n + at]! === target)
        return { code: code - way.code, last: any, way: w, used: e.passUsed[w * n + at]! }
      for (let p = 0; p < n; p++)
        if (gapMicro + before[p]! + e.passAfter[(w * n + p) * n + at]! === target)
          return { code: code - way.code, last: p, way: w, used: e.passAfterUsed[(w * n + p) * n + at]! }
    }
    throw new Error('A way to cut a drum could not be traced back.')
  }

  /** All states from the outer end inwards; calls back for every choice where the drum may be stopped. */
  #walk(
    earned: Earned[],
    stopped: (code: number, micro: number, k: number, before: number, last: number, way: number) => void,
    layers: Reached[] = [],
  ): void {
    const n = this.#numbers.size
    let reached: Reached = new Map([[0, new Float64Array(n + 1).fill(NEVER)]])
    reached.get(0)![n] = 0
    const bits = new Map([[0, 0]])
    layers.push(reached)
    for (const [k, stretch] of this.stretches.entries()) {
      const gapMicro = this.#worth.gapBeforeMicro(k)
      const next: Reached = new Map()
      const e = earned[k]!
      const goesOn = k + 1 < this.stretches.length
      for (const [before, state] of reached) {
        const beforeBits = bits.get(before)!
        let most = NEVER
        for (let p = 0; p <= n; p++) most = Math.max(most, state[p]!)
        // what is a change behind the best may as well be gone on with from that
        const lasts: number[] = []
        for (let p = 0; p < n; p++) if (state[p]! > most - this.set.changeMicro) lasts.push(p)
        for (const [w, way] of stretch.ways.entries()) {
          if (!this.#pieces.fit(beforeBits, way.bits)) continue
          this.steps++
          const code = before + way.code
          stopped(code, gapMicro + most + e.stop[w]!, k, before, n + 1, w)
          for (const p of lasts)
            stopped(code, gapMicro + state[p]! + e.stopAfter[w * n + p]!, k, before, p, w)
          if (!goesOn) continue
          let to = next.get(code)
          if (!to) {
            to = new Float64Array(n + 1).fill(NEVER)
            next.set(code, to)
            bits.set(code, beforeBits + way.bits)
          }
          for (let l = 0; l < n; l++) {
            let value = gapMicro + most + e.pass[w * n + l]!
            const through = gapMicro + state[l]! + e.through[w]!
            if (through > value) value = through
            for (const p of lasts) {
              const after = gapMicro + state[p]! + e.passAfter[(w * n + p) * n + l]!
              if (after > value) value = after
            }
            if (value > to[l]!) to[l] = value
          }
          const through = gapMicro + state[n]! + e.through[w]!
          if (through > to[n]!) to[n] = through
        }
      }
      reached = next
      layers.push(reached)
    }
  }

  /** A micro-euro a stretch and rounding covers the sums, which stay below 2^53. */
  #total(micro: number): number {
    const paidMicro = putupsIn(this.#putups.required).length * this.set.changeMicro
    return Math.ceil(micro + this.#worth.fixedMicro - paidMicro) + 2 * this.stretches.length + 2
  }

  #earned(fill: RelaxedFill, prices: Float64Array, caps: Float64Array): Earned[] {
    const last = this.stretches.length - 1
    return this.stretches.map((stretch, k) => this.#earnedIn(stretch, k < last, fill, prices, caps))
  }

  #earnedIn(
    stretch: LongStretch,
    goesOn: boolean,
    fill: RelaxedFill,
    prices: Float64Array,
    caps: Float64Array,
  ): Earned {
    const n = this.#numbers.size
    const ways = stretch.ways.length
    const { changeMicro } = this.set
    const passed = goesOn ? ways : 0
    const e: Earned = {
      stop: never(ways),
      stopAfter: never(ways * n),
      stopUsed: new Int32Array(ways),
      stopAfterUsed: new Int32Array(ways * n),
      through: never(passed),
      pass: never(passed * n),
      passAfter: never(passed * n * n),
      passUsed: new Int32Array(passed * n),
      passAfterUsed: new Int32Array(passed * n * n),
    }
    stretch.earn(fill, prices, caps, goesOn, this.#putups, (w, putups, used, stopMicro, passMicro) => {
      this.steps++
      const here = this.#numbersOf(putups)
      const stop = stopMicro - here.length * changeMicro
      if (stop > e.stop[w]!) {
        e.stop[w] = stop
        e.stopUsed[w] = used
      }
      for (const l of here)
        if (stop + changeMicro > e.stopAfter[w * n + l]!) {
          e.stopAfter[w * n + l] = stop + changeMicro
          e.stopAfterUsed[w * n + l] = used
        }
      if (!goesOn) return
      if (here.length === 0) e.through[w] = passMicro
      const pass = passMicro - here.length * changeMicro
      for (const l of here) {
        if (pass > e.pass[w * n + l]!) {
          e.pass[w * n + l] = pass
          e.passUsed[w * n + l] = used
        }
        for (const before of here) {
          // it begins with one put-up and ends with another, unless there is only one
          if (before === l && here.length > 1) continue
          const at = (w * n + before) * n + l
          if (pass + changeMicro > e.passAfter[at]!) {
            e.passAfter[at] = pass + changeMicro
            e.passAfterUsed[at] = used
          }
        }
      }
    })
    return e
  }

  #numbersOf(putups: number): number[] {
    let known = this.#sets.get(putups)
    if (!known) {
      known = putupsIn(putups).map((p) => this.#numbers.get(p)!)
      this.#sets.set(putups, known)
    }
    return known
  }
}

function never(size: number): Float64Array {
  return new Float64Array(size).fill(NEVER)
}
