import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { TypeInstance } from './instance.ts'
import type { Item, PutupOption } from './item.ts'

/** Long pieces that are alike in all that cutting knows of; what each is worth unserved stands in `tiers`, least first. */
export interface LongKind {
  items: Item[]
  /** Taken from the drum by one piece of full length. */
  cutUm: LengthUm
  demand: number
  creditMicro: MicroEur
  tiers: Item['tiers']
  group: string | null
  /** One more piece of this kind adds so much to the code of a choice. */
  stride: number
  /** And so much to the same in bits; the highest bit of each field tells when there are too many. */
  one: number
}

/** Clean length in no piece, counted in whole units, rounded down. */
export interface UnusedUnits {
  unitUm: LengthUm
  /** All drums together may have no more. */
  most: number
}

const NOTHING_COUNTED: UnusedUnits = { unitUm: Number.MAX_SAFE_INTEGER, most: 0 }

/** Bits that a choice may take: one word, sign left alone. */
const MOST_BITS = 30
/** Choices in all, most of which are never looked at. */
const MOST_CODES = 2_000_000

/**
 * The longest pieces of a cable type, as many kinds as can be counted in `mostCodes` different choices of how many of each on
 * which put-up.
 * A choice is a code, digit by digit the pieces of each kind.
 */
export class LongPieces {
  readonly kinds: LongKind[] = []
  /** By item: whether it is one of them. */
  readonly holds: boolean[]
  codes = 1
  /** How much of all drums may be in no piece. */
  readonly unused: UnusedUnits
  /** Choices with put-ups told apart. */
  #ways = 1
  /** The numbers of all kinds at their most, and the bits that overflow. */
  #full = 0
  #guards = 0
  #bits = 0

  /** With `base`, its kinds come first, and further ones as long as the choices are no more than so many times as many. */
  constructor(
    instance: TypeInstance,
    mostCodes: number,
    base: LongPieces | null = null,
    unused: UnusedUnits = NOTHING_COUNTED,
  ) {
    this.unused = unused
    this.holds = instance.items.map(() => false)
    for (const { items } of base?.kinds ?? []) this.#add(items, Number.POSITIVE_INFINITY)
    this.#ways = 1
    for (const items of alike(instance)) if (!this.holds[items[0]!.index]) this.#add(items, mostCodes)
  }

  /** Codes of choices, with what is in no piece as their highest digit. */
  get allCodes(): number {
    return this.codes * (this.unused.most + 1)
  }

  /** Whole units in no piece. */
  unusedOf(code: number): number {
    return Math.floor(code / this.codes)
  }

  /** The codes of the same pieces with no more in no piece, a choice itself first; none of a negative code. */
  *withNoMore(code: number): Generator<number> {
    for (let c = code; c >= 0; c -= this.codes) yield c
  }

  /** Whether a choice is one of these, or leaves more in no piece than one of them. */
  letsIn(all: ReadonlySet<number> | null, code: number): boolean {
    if (!all) return true
    for (const c of this.withNoMore(code)) if (all.has(c)) return true
    return false
  }

  /** By choice of pieces alone: the least units in no piece that it is let in with. What is let in with some is so with more. */
  leastUnused(all: ReadonlySet<number>): Map<number, number> {
    const least = new Map<number, number>()
    for (const code of all) {
      const unused = this.unusedOf(code)
      const pieces = code % this.codes
      if (unused < (least.get(pieces) ?? Number.POSITIVE_INFINITY)) least.set(pieces, unused)
    }
    return least
  }

  /** Whether two choices, in bits, are together no more than is wanted. */
  fit(a: number, b: number): boolean {
    return ((this.#full - a - b) & this.#guards) === this.#guards
  }

  /** Whether one choice, in bits, is a part of another. */
  within(part: number, whole: number): boolean {
    return ((whole + this.#guards - part) & this.#guards) === this.#guards
  }

  countOf(code: number, { stride, demand }: LongKind): number {
    return Math.floor(code / stride) % (demand + 1)
  }

  /** A code in bits. */
  bitsOf(code: number): number {
    let bits = 0
    for (const kind of this.kinds) bits += this.countOf(code, kind) * kind.one
    return bits
  }

  #add(items: Item[], mostCodes: number): void {
    const [first] = items
    const demand = items.reduce((sum, i) => sum + i.demand, 0)
    const bits = Math.ceil(Math.log2(demand + 1)) + 1
    const ways = this.#ways * (1 + demand * Math.max(1, first!.options.length))
    if (
      ways > mostCodes ||
      this.#bits + bits > MOST_BITS ||
      this.codes * (demand + 1) * (this.unused.most + 1) > MOST_CODES
    )
      return
    this.#ways = ways
    const one = 2 ** this.#bits
    const guard = 2 ** (this.#bits + bits - 1)
    this.kinds.push({
      items,
      cutUm: first!.cutUm,
      demand,
      creditMicro: first!.creditMicro,
      tiers: items.flatMap((i) => i.tiers).sort((a, b) => a.weightMicro - b.weightMicro),
      group: first!.group,
      stride: this.codes,
      one,
    })
    this.codes *= demand + 1
    this.#bits += bits
    this.#full += demand * one + guard
    this.#guards += guard
    for (const item of items) this.holds[item.index] = true
  }
}

/**
 * Items that are cut in one length, alike ones together, the longest first. Which faults they may hold is left out of account: of a
 * kind of which some may, all are taken to, since more kinds would be too many.
 */
function alike({ items, drums }: TypeInstance): Item[][] {
  const byKind = new Map<string, Item[]>()
  for (const item of items) {
    if (item.split || item.loose || item.lead || item.options.some((o) => cutsShort(item, o))) continue
    const { index, cutUm, creditMicro, group, shortest } = item
    const options = item.options.map((o) => [o.putup, o.costMicro])
    const where = drums.map((d) => [...d.parts, ...d.relaxed].map((s) => (s.allowed[index] ? 1 : 0)).join(''))
    const kind = JSON.stringify([cutUm, creditMicro, group, shortest, options, where])
    byKind.set(kind, [...(byKind.get(kind) ?? []), item])
  }
  return [...byKind.values()].sort((a, b) => b[0]!.cutUm - a[0]!.cutUm)
}

/** Of pieces that may be shorter some might then lie on one put-up and some on another, which is more than one choice tells. */
function cutsShort({ shortest, declaredUm }: Item, { mostDeclaredUm }: PutupOption): boolean {
  return shortest !== null && mostDeclaredUm < declaredUm
}
