import type { MicroEur } from '../quantity/money.ts'
import type { TypeInstance } from './instance.ts'
import type { LongKind, LongPieces } from './long-pieces.ts'

/** A drum with a choice of long pieces: what it costs, less what its short ones are worth. */
export interface LongChoice {
  code: number
  costMicro: number
  /** The set of places it is worked at and the way; null where the drum is left alone. */
  at: { set: number; way: number } | null
}

/** What long pieces are worth when they are given out, so that what cannot be the best is left out early. */
export interface LongPrices {
  /** By kind. */
  prices: number[]
  /** What a micro-euro more left unserved costs. */
  service: number
}

/** Who gets which long pieces: the choice of each drum, and what is given to none. */
export interface Dealt {
  costMicro: number
  choices: LongChoice[]
  unserved: { kind: LongKind; pieces: number }[]
  /** By drum and choice: the least that anything with this choice costs, Infinity where it is more than there is room for. */
  leastWith: Float64Array[]
}

/** Where a drum's turn begins and ends. */
interface Turn {
  /** Codes of what may have been given out before, the least spent first. */
  reached: Int32Array
  /** By code: what was spent above the least so far. */
  spent: Float64Array
  /** By choice: what it costs above the best of its drum. */
  above: Float64Array
  /** By code after the drum: the code that closing its lot leads to, and what that costs. */
  closed: Map<number, { to: number; micro: number }> | null
}

const NEVER = Number.POSITIVE_INFINITY

/**
 * Gives out the long pieces drum by drum, every one of them whole: the least that all of it can cost, by dynamic programming over
 * how many of each kind have been given out so far. Drums of one lot follow each other, so that a lot group is closed with the lot
 * that it was begun in. A choice that even at the prices given lies further above the best of its drum than `mostMicro` leaves
 * room for cannot be part of anything cheaper, and is left out: null where nothing cheaper remains.
 */
export class LongDeal {
  readonly #pieces: LongPieces
  readonly #bits: Int32Array
  /** Drums, lot by lot. */
  readonly #order: number[]
  /** Drums that are the last of their lot, where there are lot groups. */
  readonly #closing: Set<number>
  readonly #spent: Float64Array[]
  readonly #togo: Float64Array[]

  constructor(instance: TypeInstance, pieces: LongPieces) {
    this.#pieces = pieces
    this.#bits = pieces.inBits()
    const lotOf = (d: number | undefined) => (d === undefined ? '' : instance.drums[d]!.usable.drum.lot)
    this.#order = [...instance.drums.keys()].sort((a, b) =>
      lotOf(a) < lotOf(b) ? -1 : lotOf(a) > lotOf(b) ? 1 : a - b,
    )
    const grouped = pieces.kinds.some((k) => k.group !== null)
    this.#closing = new Set(this.#order.filter((d, i) => grouped && lotOf(this.#order[i + 1]) !== lotOf(d)))
    this.#spent = [...this.#order, -1].map(() => new Float64Array(pieces.codes))
    this.#togo = this.#spent.map(() => new Float64Array(pieces.codes))
  }

  /** `fixedMicro` is paid whatever is chosen. */
  deal(
    choices: LongChoice[][],
    { prices, service }: LongPrices,
    fixedMicro: MicroEur,
    mostMicro: number,
  ): Dealt | null {
    const { kinds } = this.#pieces
    const counts = kinds.map((kind) => (code: number) => this.#pieces.countOf(code, kind))
    const worthOf = (code: number) => counts.reduce((sum, of, k) => sum + prices[k]! * of(code), 0)
    let baseMicro = fixedMicro + kinds.reduce((sum, kind, k) => sum + prices[k]! * kind.demand, 0)
    const above = choices.map((of) => {
      const micro = Float64Array.from(of, (c) => c.costMicro - worthOf(c.code))
      const leastMicro = micro.reduce((a, b) => Math.min(a, b))
      baseMicro += leastMicro
      return micro.map((m) => m - leastMicro)
    })
    const left = kinds.map((kind, k) => leftOverMicro(kind, prices[k]!, service))
    const roomMicro = mostMicro - baseMicro - left.reduce((sum, of) => sum + Math.min(...of), 0)
    if (roomMicro < 0) return null
    const turns: Turn[] = []
    let reached: Int32Array = Int32Array.of(0)
    this.#spent[0]!.fill(NEVER)
    this.#spent[0]![0] = 0
    for (const [i, d] of this.#order.entries()) {
      const spent = this.#spent[i]!
      reached.sort((a, b) => spent[a]! - spent[b]!)
      const turn: Turn = { reached, spent, above: above[d]!, closed: null }
      turns.push(turn)
      reached = this.#choose(turn, choices[d]!, this.#spent[i + 1]!, roomMicro)
      if (this.#closing.has(d)) reached = this.#close(turn, left, this.#spent[i + 1]!, reached)
    }
    const last = this.#togo[turns.length]!.fill(NEVER)
    for (const code of reached)
      last[code] = kinds.reduce((sum, kind, k) => sum + left[k]![kind.demand - counts[k]!(code)]!, 0)
    const leastWith = this.#back(choices, turns, baseMicro, roomMicro)
    const costMicro = baseMicro + this.#togo[0]![0]!
    return costMicro < mostMicro ? { costMicro, ...this.#trace(choices, turns), leastWith } : null
  }

  #choose(
    { reached, spent, above }: Turn,
    of: LongChoice[],
    next: Float64Array,
    roomMicro: number,
  ): Int32Array {
    const bits = this.#bits
    const pieces = this.#pieces
    const found: number[] = []
    next.fill(NEVER)
    for (let n = 0; n < above.length; n++) {
      const { code } = of[n]!
      const more = above[n]!
      const codeBits = bits[code]!
      for (let r = 0; r < reached.length; r++) {
        const from = reached[r]!
        const micro = spent[from]! + more
        if (micro > roomMicro) break
        if (!pieces.fit(bits[from]!, codeBits)) continue
        const to = from + code
        if (next[to] === NEVER) found.push(to)
        if (micro < next[to]!) next[to] = micro
      }
    }
    return Int32Array.from(found)
  }

  /** What a group was begun with from this lot and is not finished with it stays unserved. */
  #close(turn: Turn, left: number[][], next: Float64Array, reached: Int32Array): Int32Array {
    const { kinds } = this.#pieces
    const closed = new Map<number, { to: number; micro: number }>()
    for (const from of reached) {
      const counts = kinds.map((kind) => this.#pieces.countOf(from, kind))
      const begun = new Set(
        kinds.flatMap((kind, k) => (kind.group !== null && counts[k]! > 0 ? [kind.group] : [])),
      )
      let to = from
      let micro = 0
      for (const [k, kind] of kinds.entries())
        if (kind.group !== null && begun.has(kind.group)) {
          to += (kind.demand - counts[k]!) * kind.stride
          micro += left[k]![kind.demand - counts[k]!]!
        }
      closed.set(from, { to, micro })
    }
    turn.closed = closed
    const least = new Map<number, number>()
    for (const [from, { to, micro }] of closed)
      least.set(to, Math.min(least.get(to) ?? NEVER, next[from]! + micro))
    for (const from of reached) next[from] = NEVER
    for (const [to, micro] of least) next[to] = micro
    return Int32Array.from(least.keys())
  }

  /** From the end backwards: what is still to be spent from each state, and so the least with each choice. */
  #back(choices: LongChoice[][], turns: Turn[], baseMicro: number, roomMicro: number): Float64Array[] {
    const bits = this.#bits
    const leastWith = choices.map((of) => new Float64Array(of.length).fill(NEVER))
    for (let i = turns.length - 1; i >= 0; i--) {
      const { reached, spent, above, closed } = turns[i]!
      const of = choices[this.#order[i]!]!
      const least = leastWith[this.#order[i]!]!
      const after = this.#togo[i + 1]!
      for (const [from, { to, micro }] of closed ?? []) after[from] = this.#togo[i + 1]![to]! + micro
      const togo = this.#togo[i]!.fill(NEVER)
      for (let n = 0; n < above.length; n++) {
        const { code } = of[n]!
        const more = above[n]!
        const codeBits = bits[code]!
        let most = NEVER
        for (let r = 0; r < reached.length; r++) {
          const from = reached[r]!
          if (spent[from]! + more > roomMicro) break
          if (!this.#pieces.fit(bits[from]!, codeBits)) continue
          const on = more + after[from + code]!
          if (on < togo[from]!) togo[from] = on
          if (spent[from]! + on < most) most = spent[from]! + on
        }
        least[n] = most + baseMicro
      }
    }
    return leastWith
  }

  /** Forward along what the least of all is made with. */
  #trace(choices: LongChoice[][], turns: Turn[]): Pick<Dealt, 'choices' | 'unserved'> {
    const chosen: LongChoice[] = []
    const unserved: Dealt['unserved'] = []
    const missing = (from: number, to: number) => {
      for (const kind of this.#pieces.kinds) {
        const pieces = this.#pieces.countOf(to, kind) - this.#pieces.countOf(from, kind)
        if (pieces > 0) unserved.push({ kind, pieces })
      }
    }
    let at = 0
    for (const [i, { above, closed }] of turns.entries()) {
      const d = this.#order[i]!
      const after = this.#togo[i + 1]!
      const n = above.findIndex(
        (more, c) =>
          this.#pieces.fit(this.#bits[at]!, this.#bits[choices[d]![c]!.code]!) &&
          more + after[at + choices[d]![c]!.code]! === this.#togo[i]![at],
      )
      chosen[d] = choices[d]![n]!
      at += chosen[d].code
      const to = closed?.get(at)?.to ?? at
      missing(at, to)
      at = to
    }
    missing(at, this.#pieces.codes - 1)
    return { choices: chosen, unserved }
  }
}

/** By number left unserved: what that costs beyond the prices of the pieces. */
function leftOverMicro({ demand, tiers, creditMicro }: LongKind, price: number, service: number): number[] {
  const micro = [0]
  for (const tier of tiers)
    for (let n = 0; n < tier.pieces; n++)
      micro.push(micro[micro.length - 1]! + creditMicro + Math.floor(service * tier.weightMicro) - price)
  return micro.slice(0, demand + 1)
}
