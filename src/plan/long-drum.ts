import type { LengthUm } from '../quantity/length.ts'
import type { Catalog } from './catalog.ts'
import type { DrumModel } from './drum-model.ts'
import type { Item } from './item.ts'
import { ANY_USE, canPass, type Earned, NO_USE, PutupUses, passOn, Questions } from './long-earned.ts'
import type { LongFillings, PutupBranch, PutupUse } from './long-fillings.ts'
import { LetIn } from './long-let-in.ts'
import type { LongPieces } from './long-pieces.ts'
import { type Rests, restOf } from './long-rests.ts'
import { type Answered, LongStretch } from './long-stretch.ts'
import type { PlaceSet } from './place-set.ts'
import { bit, putupsIn } from './putup-bits.ts'
import { amountsOf, shapesApart } from './relaxed-offers.ts'
import { ANY_REST, type RestRange, RestWorth } from './rest-worth.ts'

const NEVER = Number.NEGATIVE_INFINITY
const FREE: PutupBranch = { required: 0, barred: 0 }
/** Roundings to cells that may add up: of the long pieces, of the short ones, of what tolerances save. */
const SLACK_CELLS = 3

/**
 * What goes with a choice of long pieces: short pieces by item, put-ups in use bit by bit, what stays on the drum, and the least
 * clean length that is in no piece.
 */
export interface Filled {
  amounts: Map<number, number>
  putups: number
  restUm: LengthUm
  unusedUm: LengthUm
}

/** Where a drum is stopped: in which stretch, after which choice and put-up. */
interface Stop extends Answered {
  k: number
  before: number
  last: number
}

/** A step inwards: from which choice and put-up. */
interface Came extends Answered {
  code: number
  last: number
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
  /** What is left from when fewer kinds were long. */
  readonly #base: LetIn | null
  readonly #items: Item[]
  readonly #catalog: Catalog
  #worth: RestWorth
  readonly #worthIn: (range: RestRange) => RestWorth
  #range = ANY_REST
  readonly #slackUm: LengthUm
  readonly #uses: PutupUses
  /** Choices looked at so far, beside the stretches filled. */
  steps = 0
  #codes: ReadonlySet<number> | null = null
  #letIn: LetIn
  #putups: PutupBranch = FREE

  constructor(
    short: LongFillings,
    catalog: Catalog,
    items: Item[],
    pieces: LongPieces,
    model: DrumModel,
    set: PlaceSet,
    woundOff: boolean,
    cells: number,
    base: LetIn | null,
  ) {
    this.set = set
    this.#pieces = pieces
    this.#base = base
    this.#letIn = new LetIn(pieces, null)
    this.#items = items
    this.#catalog = catalog
    const stretches = woundOff ? model.relaxed.map((s) => ({ ...s, insideUm: 0 })) : model.parts
    this.#worthIn = (range) => new RestWorth(catalog, model, set, stretches, woundOff, range)
    this.#worth = this.#worthIn(ANY_REST)
    // where no choice is left there is nothing to look at
    const open = base?.size === 0 ? [] : stretches
    this.stretches = open.map((stretch, k) => {
      const lengthUm = this.#worth.lengthUm(k)
      const cellUm = Math.max(1, Math.ceil(lengthUm / cells))
      const shapes = shapesApart(items, set, stretch, catalog.input.site.cutRules)
      const begun = base && { kinds: base.pieces.kinds.length, letsIn: base.within(stretches.length) }
      return new LongStretch(
        short,
        pieces,
        shapes,
        stretch.faults,
        lengthUm,
        cellUm,
        this.#restsOf(k, cellUm),
        begun,
      )
    })
    this.#slackUm = SLACK_CELLS * Math.max(0, ...this.stretches.map((s) => s.cellUm))
    this.#uses = new PutupUses(putupsIn(this.stretches.reduce((all, s) => all | s.putups, 0)))
  }

  /** Looks at no other choices than these; null for all. */
  restrict(codes: ReadonlySet<number> | null, putups: PutupBranch, range: RestRange): void {
    this.#limit(range)
    if (codes === this.#codes && putups === this.#putups) return
    this.#codes = codes
    this.#putups = putups
    this.#letIn = new LetIn(this.#pieces, codes)
    const within = this.#letIn.within(this.stretches.length)
    for (const stretch of this.stretches)
      stretch.restrict((way) => (way.putups & putups.barred) === 0 && within(way))
  }

  /** Whether a choice is let in, of all that its stretches together would make up. */
  #letsIn(code: number): boolean {
    const { codes, unused } = this.#pieces
    const choice = code % codes
    const units = this.#pieces.unusedOf(code)
    const least = this.#letIn.leastOf(choice)
    if (least === null || units < least) return false
    if (!this.#letIn.all || !this.#base) return true
    const before = this.#base.pieces
    const leastBefore = this.#base.leastOf(choice % before.codes)
    // in each stretch almost a unit more may be in no piece than is counted
    const count = this.stretches.length
    const mostUm = (units + count) * unused.unitUm + count * this.#slackUm
    return leastBefore !== null && leastBefore * before.unused.unitUm < mostUm
  }

  /** About how many steps it takes to find what each choice earns; `times` as many choices. */
  effort(times: number): number {
    const [first] = this.stretches
    if (!first) return 0
    if (this.stretches.length === 1) return first.ways.length * times
    return this.stretches.reduce((sum, s) => sum + s.ways.length * this.#letIn.size * times ** 2, 0)
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
    const slackUm = SLACK_CELLS * cellUm
    const leftUm = (x: number) => this.#worth.lengthUm(k) - x * cellUm
    const { unused } = this.#pieces
    return {
      stop: restOf(this.#worth.stops(k, cellUm, count, slackUm), unused, (x) =>
        this.#worth.unusedUm(k, leftUm(x), slackUm),
      ),
      pass: restOf(this.#worth.passes(k, cellUm, count, slackUm), unused, (x) => leftUm(x) - slackUm),
    }
  }

  /** What each choice earns at these prices. */
  most(short: LongFillings): Map<number, number> {
    const most = this.#mostWith(short, this.#putups)
    if (this.#putups.required === 0 || this.stretches.length === 1) return most
    // a put-up that is certain is paid for once; nothing earns more than where it is paid for whenever the drum comes back to it
    const whenever = this.#mostWith(short, { ...this.#putups, required: 0 })
    for (const [code, micro] of most) {
      let least = NEVER
      // what leaves less in no piece may have been taken for as good
      for (const less of this.#pieces.withNoMore(code)) least = Math.max(least, whenever.get(less) ?? NEVER)
      if (least === NEVER) most.delete(code)
      else most.set(code, Math.min(micro, least))
    }
    return most
  }

  /** The highest of equal codes counts. */
  #mostWith(short: LongFillings, putups: PutupBranch): Map<number, number> {
    const most = new Map<number, number>()
    // nothing can be cut of a drum without a clean stretch
    if ((this.stretches[0]?.ways.length ?? 0) === 0) return most
    this.#walk(this.#earned(short, putups), (code, micro) => {
      if (micro > (most.get(code) ?? NEVER) && this.#letsIn(code)) most.set(code, micro)
    })
    const paidMicro = putupsIn(putups.required).length * this.set.changeMicro
    // a micro-euro a stretch and rounding covers the sums, which stay below 2^53
    const slackMicro = 2 * this.stretches.length + 2
    for (const [code, micro] of most)
      most.set(code, Math.ceil(micro + this.#worth.fixedMicro - paidMicro) + slackMicro)
    return most
  }

  /** Short pieces that go with a choice of long ones, by item. */
  shortOf(short: LongFillings, code: number): Filled {
    const whole = this.#pieces.bitsOf(code % this.#pieces.codes)
    const all = this.stretches.map((s) => s.ways)
    for (const s of this.stretches) s.ways = s.ways.filter((w) => this.#pieces.within(w.bits, whole))
    const filled = this.#shortAmong(short, code)
    for (const [k, s] of this.stretches.entries()) s.ways = all[k]!
    return filled
  }

  #shortAmong(short: LongFillings, code: number): Filled {
    const earned = this.#earned(short, this.#putups)
    const layers: Reached[] = []
    let best = NEVER
    let at: Stop | null = null
    this.#walk(
      earned,
      (reached, micro, k, before, last, way) => {
        if (reached !== code || micro <= best) return
        best = micro
        const unused = this.#pieces.unusedOf(code) - this.#pieces.unusedOf(before)
        const use = last < this.#uses.count ? this.#uses.with(last) : ANY_USE
        at = { k, before, last, way, unused, use, rest: 'stop' }
      },
      layers,
    )
    return at === null
      ? { amounts: new Map(), putups: 0, restUm: 0, unusedUm: 0 }
      : this.#back(short, earned, layers, at)
  }

  #back(short: LongFillings, earned: Earned[], layers: Reached[], stop: Stop): Filled {
    const takenOf = (k: number, answered: Answered) =>
      this.stretches[k]!.taken(short, this.#putups, this.set.changeMicro, answered)
    const stopped = takenOf(stop.k, stop)
    const taken = [...stopped.taken]
    const slackUm = (k: number) => SLACK_CELLS * this.stretches[k]!.cellUm
    const restUm = this.#worth.keptUm(stop.k, stopped.leftUm, slackUm(stop.k))
    let unusedUm = this.#worth.unusedUm(stop.k, stopped.leftUm, slackUm(stop.k))
    let putups = this.stretches[stop.k]!.ways[stop.way]!.putups
    let code = stop.before
    let putup = stop.last
    for (let k = stop.k - 1; k >= 0; k--) {
      const came = this.#cameFrom(earned[k]!, layers, k, code, putup)
      const passed = takenOf(k, came)
      taken.push(...passed.taken)
      unusedUm = Math.max(unusedUm, passed.leftUm - slackUm(k))
      putups |= this.stretches[k]!.ways[came.way]!.putups
      code = came.code
      putup = came.last
    }
    for (const t of taken) putups |= bit(t.group)
    const amounts = amountsOf(this.#items, taken, this.#catalog.input.site.cutRules)
    return { amounts, putups, restUm, unusedUm }
  }

  /** The step by which a state was reached: the one whose sum is the same to the last bit. */
  #cameFrom(e: Earned, layers: Reached[], k: number, code: number, last: number): Came {
    const n = this.#uses.count
    const counted = this.#pieces.unused.most + 1
    const state = layers[k + 1]!.get(code)!
    // where any put-up would do, the dearest is what was gone on from
    const lasts = last <= n && state[last] !== NEVER ? [last] : [...state.keys()]
    const target = Math.max(...lasts.map((l) => state[l]!))
    const at = lasts.find((l) => state[l] === target)!
    const gapMicro = this.#worth.gapBeforeMicro(k)
    for (const [w, way] of this.stretches[k]!.ways.entries()) {
      for (let unused = 0; unused < counted; unused++) {
        const from = code - way.code - unused * this.#pieces.codes
        const before = layers[k]!.get(from)
        if (!before) continue
        const came = (p: number, use: PutupUse): Came => ({
          code: from,
          last: p,
          way: w,
          use,
          rest: 'pass',
          unused,
        })
        const most = gapMicro + Math.max(...before)
        const any = before.indexOf(Math.max(...before))
        if (gapMicro + before[at]! + e.through[w * counted + unused]! === target) return came(at, NO_USE)
        if (at === n) continue
        if (most + e.pass[(w * n + at) * counted + unused]! === target) return came(any, this.#uses.with(at))
        for (let p = 0; p < n; p++)
          if (gapMicro + before[p]! + e.passAfter[((w * n + p) * n + at) * counted + unused]! === target)
            return came(p, this.#uses.between(p, at))
      }
    }
    throw new Error('A way to cut a drum could not be traced back.')
  }

  /** All states from the outer end inwards; calls back for every choice where the drum may be stopped. */
  #walk(
    earned: Earned[],
    stopped: (code: number, micro: number, k: number, before: number, last: number, way: number) => void,
    layers: Reached[] = [],
  ): void {
    const n = this.#uses.count
    const { codes, unused } = this.#pieces
    const counted = unused.most + 1
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
        const unusedBefore = this.#pieces.unusedOf(before)
        let most = NEVER
        for (let p = 0; p <= n; p++) most = Math.max(most, state[p]!)
        // what is a change behind the best may as well be gone on with from that
        const lasts: number[] = []
        for (let p = 0; p < n; p++) if (state[p]! > most - this.set.changeMicro) lasts.push(p)
        for (const [w, way] of stretch.ways.entries()) {
          if (!this.#pieces.fit(beforeBits, way.bits)) continue
          this.steps++
          const code = before + way.code
          for (let u = 0; u < counted - unusedBefore; u++) {
            const micro = e.stop[w * counted + u]!
            if (micro === NEVER) continue
            const stopCode = code + u * codes
            stopped(stopCode, gapMicro + most + micro, k, before, n + 1, w)
            for (const p of lasts) {
              const after = e.stopAfter[(w * n + p) * counted + u]!
              if (after !== NEVER) stopped(stopCode, gapMicro + state[p]! + after, k, before, p, w)
            }
          }
          if (!goesOn) continue
          for (let u = 0; u < counted - unusedBefore; u++) {
            const at = w * counted + u
            if (!canPass(e, at, n, counted)) continue
            const passCode = code + u * codes
            let to = next.get(passCode)
            if (!to) {
              to = new Float64Array(n + 1).fill(NEVER)
              next.set(passCode, to)
              bits.set(passCode, beforeBits + way.bits)
            }
            passOn({ state, most, lasts }, e, at, counted, gapMicro, to)
          }
        }
      }
      if (!(this.#letIn.all ? this.#base : this.#letIn)?.counts) this.#leaveOut(next)
      reached = next
      layers.push(reached)
    }
  }

  /** Leaves out states with more in no piece than another one of the same pieces that has earned no less. */
  #leaveOut(reached: Reached): void {
    const { codes } = this.#pieces
    for (const [code, state] of reached) {
      for (const less of this.#pieces.withNoMore(code - codes)) {
        const other = reached.get(less)
        if (other?.every((micro, p) => micro >= state[p]!)) {
          reached.delete(code)
          break
        }
      }
    }
  }

  #earned(short: LongFillings, putups: PutupBranch): Earned[] {
    const { changeMicro } = this.set
    const counted = this.#pieces.unused.most + 1
    return this.stretches.map((stretch, k) => {
      const place = { first: k === 0, last: k + 1 === this.stretches.length }
      const questions = new Questions(stretch.ways.length, counted, this.#uses, place)
      stretch.earn(short, putups, changeMicro, questions.asked)
      this.steps += stretch.ways.length * questions.asked.length
      return questions.earned(changeMicro)
    })
  }
}
