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

/** What may have been given out at some time, the least spent first. */
interface Reached {
  codes: Int32Array
  bits: Int32Array
  /** What was spent above the least so far, and what is still to be spent at least. */
  spent: Float64Array
  togo: Float64Array
}

/** A drum's turn. */
interface Turn {
  from: Reached
  /** By choice: what it costs above the best of its drum. */
  above: Float64Array
  to: Reached
  /** Where the drum is the last of its lot: by what it ended with, number of what closing the lot leads to, and what that costs. */
  closed: { to: Int32Array; micro: Float64Array } | null
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
  /** Drums, lot by lot. */
  readonly #order: number[]
  /** Drums that are the last of their lot, where there are lot groups. */
  readonly #closing: Set<number>
  /** By code: its number among those reached, while one turn is reckoned; −1 for none. */
  readonly #numbers: Int32Array

  constructor(instance: TypeInstance, pieces: LongPieces) {
    this.#pieces = pieces
    const lotOf = (d: number | undefined) => (d === undefined ? '' : instance.drums[d]!.usable.drum.lot)
    this.#order = [...instance.drums.keys()].sort((a, b) =>
      lotOf(a) < lotOf(b) ? -1 : lotOf(a) > lotOf(b) ? 1 : a - b,
    )
    const grouped = pieces.kinds.some((k) => k.group !== null)
    this.#closing = new Set(this.#order.filter((d, i) => grouped && lotOf(this.#order[i + 1]) !== lotOf(d)))
    this.#numbers = new Int32Array(pieces.allCodes).fill(-1)
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
    let from = this.#sorted([0], [0])
    for (const d of this.#order) {
      const turn: Turn = { from, above: above[d]!, to: from, closed: null }
      turn.to = this.#choose(turn, choices[d]!, roomMicro)
      from = this.#closing.has(d) ? this.#close(turn, left) : turn.to
      turns.push(turn)
    }
    for (const [n, code] of from.codes.entries())
      from.togo[n] = kinds.reduce((sum, kind, k) => sum + left[k]![kind.demand - counts[k]!(code)]!, 0)
    const leastWith = this.#back(choices, turns, from, baseMicro, roomMicro)
    const costMicro = baseMicro + (turns[0]?.from ?? from).togo[0]!
    return costMicro < mostMicro ? { costMicro, ...this.#trace(choices, turns, from), leastWith } : null
  }

  #sorted(codes: number[], spent: number[]): Reached {
    const order = Int32Array.from(codes.keys()).sort((a, b) => spent[a]! - spent[b]!)
    const sorted = order.map((n) => codes[n]!)
    return {
      codes: sorted,
      bits: sorted.map((code) => this.#pieces.bitsOf(code)),
      spent: Float64Array.from(order, (n) => spent[n]!),
      togo: new Float64Array(order.length).fill(NEVER),
    }
  }

  #choose({ from, above }: Turn, of: LongChoice[], roomMicro: number): Reached {
    const pieces = this.#pieces
    const numbers = this.#numbers
    const { allCodes } = pieces
    const { codes, bits, spent } = from
    const found: number[] = []
    const foundSpent: number[] = []
    for (let n = 0; n < above.length; n++) {
      const { code } = of[n]!
      const more = above[n]!
      const codeBits = pieces.bitsOf(code)
      const most = allCodes - pieces.codes * pieces.unusedOf(code)
      for (let r = 0; r < codes.length; r++) {
        const micro = spent[r]! + more
        if (micro > roomMicro) break
        if (codes[r]! >= most || !pieces.fit(bits[r]!, codeBits)) continue
        const to = codes[r]! + code
        const known = numbers[to]!
        if (known < 0) {
          numbers[to] = found.length
          found.push(to)
          foundSpent.push(micro)
        } else if (micro < foundSpent[known]!) foundSpent[known] = micro
      }
    }
    for (const code of found) numbers[code] = -1
    return this.#sorted(found, foundSpent)
  }

  /** What a group was begun with from this lot and is not finished with it stays unserved. */
  #close(turn: Turn, left: number[][]): Reached {
    const { kinds } = this.#pieces
    const { codes, spent } = turn.to
    const least = new Map<number, number>()
    const ends = Array.from(codes, (code) => {
      const counts = kinds.map((kind) => this.#pieces.countOf(code, kind))
      const begun = new Set(
        kinds.flatMap((kind, k) => (kind.group !== null && counts[k]! > 0 ? [kind.group] : [])),
      )
      let to = code
      let micro = 0
      for (const [k, kind] of kinds.entries())
        if (kind.group !== null && begun.has(kind.group)) {
          to += (kind.demand - counts[k]!) * kind.stride
          micro += left[k]![kind.demand - counts[k]!]!
        }
      return { to, micro }
    })
    for (const [n, { to, micro }] of ends.entries())
      least.set(to, Math.min(least.get(to) ?? NEVER, spent[n]! + micro))
    const next = this.#sorted([...least.keys()], [...least.values()])
    const numberOf = new Map([...next.codes].map((code, n) => [code, n]))
    turn.closed = {
      to: Int32Array.from(ends, ({ to }) => numberOf.get(to)!),
      micro: Float64Array.from(ends, ({ micro }) => micro),
    }
    return next
  }

  /** From the end backwards: what is still to be spent from each state, and so the least with each choice. */
  #back(
    choices: LongChoice[][],
    turns: Turn[],
    last: Reached,
    baseMicro: number,
    roomMicro: number,
  ): Float64Array[] {
    const pieces = this.#pieces
    const { allCodes } = pieces
    const numbers = this.#numbers
    const leastWith = choices.map((of) => new Float64Array(of.length).fill(NEVER))
    for (let i = turns.length - 1; i >= 0; i--) {
      const { from, above, to, closed } = turns[i]!
      const next = turns[i + 1]?.from ?? last
      if (closed) for (const [n, k] of closed.to.entries()) to.togo[n] = next.togo[k]! + closed.micro[n]!
      for (const [n, code] of to.codes.entries()) numbers[code] = n
      const of = choices[this.#order[i]!]!
      const least = leastWith[this.#order[i]!]!
      const { codes, bits, spent, togo } = from
      const after = to.togo
      for (let n = 0; n < above.length; n++) {
        const { code } = of[n]!
        const more = above[n]!
        const codeBits = pieces.bitsOf(code)
        const below = allCodes - pieces.codes * pieces.unusedOf(code)
        let most = NEVER
        for (let r = 0; r < codes.length; r++) {
          if (spent[r]! + more > roomMicro) break
          if (codes[r]! >= below || !pieces.fit(bits[r]!, codeBits)) continue
          const on = more + after[numbers[codes[r]! + code]!]!
          if (on < togo[r]!) togo[r] = on
          if (spent[r]! + on < most) most = spent[r]! + on
        }
        least[n] = most + baseMicro
      }
      for (const code of to.codes) numbers[code] = -1
    }
    return leastWith
  }

  /** Forward along what the least of all is made with. */
  #trace(choices: LongChoice[][], turns: Turn[], last: Reached): Pick<Dealt, 'choices' | 'unserved'> {
    const chosen: LongChoice[] = []
    const unserved: Dealt['unserved'] = []
    const missing = (from: number, to: number) => {
      for (const kind of this.#pieces.kinds) {
        const pieces = this.#pieces.countOf(to, kind) - this.#pieces.countOf(from, kind)
        if (pieces > 0) unserved.push({ kind, pieces })
      }
    }
    let at = 0
    for (const [i, { from, above, to, closed }] of turns.entries()) {
      const d = this.#order[i]!
      const r = from.codes.indexOf(at)
      const n = above.findIndex((more, c) => {
        const { code } = choices[d]![c]!
        if (at + code >= this.#pieces.allCodes) return false
        if (!this.#pieces.fit(from.bits[r]!, this.#pieces.bitsOf(code))) return false
        const k = to.codes.indexOf(at + code)
        return k >= 0 && more + to.togo[k]! === from.togo[r]
      })
      chosen[d] = choices[d]![n]!
      at += chosen[d].code
      const next = turns[i + 1]?.from ?? last
      const ended = closed ? next.codes[closed.to[to.codes.indexOf(at)]!]! : at
      missing(at, ended)
      at = ended
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
