import type { Random } from '../random.ts'
import { commonDivisor } from './common-divisor.ts'
import type { StockKind } from './stock-kinds.ts'
import type { StretchCut } from './stock-layout.ts'
import { type FillOffer, SubsetFill } from './subset-fill.ts'

/** Kinds that a tail is filled from; more change little and take time. */
const TAIL_KINDS = 60
/** Cells that a tail is divided into at most. */
const TAIL_CELLS = 200_000

/**
 * Fills a stretch as full as it goes: long pieces first, and exactly on the last few hundred metres. The order in which pieces are
 * wanted is that of `wish`, shuffled a little.
 */
export class StretchFiller {
  readonly #kinds: readonly StockKind[]
  readonly #random: Random
  readonly #fill = new SubsetFill()
  readonly #usual: number
  readonly #longest: number
  #tail = 0
  /** Lengths are counted in cells of so much. */
  readonly cell: number
  readonly #counts: Int32Array
  readonly #wish: Float64Array
  readonly #order: number[]

  constructor(kinds: readonly StockKind[], random: Random) {
    this.#kinds = kinds
    this.#random = random
    this.#longest = kinds.reduce((most, kind) => Math.max(most, kind.length), 0)
    this.#usual =
      kinds.reduce((sum, k) => sum + k.length * k.demand, 0) / kinds.reduce((n, k) => n + k.demand, 0)
    const common = kinds.reduce((g, kind) => commonDivisor(g, kind.length), 0)
    this.cell = Math.max(common, Math.ceil((2 * this.#longest) / TAIL_CELLS))
    this.#counts = new Int32Array(kinds.length)
    this.#wish = new Float64Array(kinds.length)
    this.#order = kinds.map((_, i) => i)
  }

  /** Another order of wishes: a power of length, dearer pieces first if `byCost`. */
  shuffle(byCost: boolean): void {
    const blur = this.#random() < 0.3 ? 0.05 : 1.5 * this.#random()
    // mostly short tails: they are quick, and a few small pieces are enough to fill them to the cell
    const stretch = byCost ? this.#random() : this.#random() ** 2
    this.#tail = Math.min(2 * this.#longest, 0.8 * this.#usual * 15 ** stretch)
    this.#kinds.forEach((kind, i) => {
      const worth = byCost ? 4 * Math.log(kind.unservedCost / kind.length) : 0
      this.#wish[i] = worth + Math.log(kind.length) + blur * (this.#random() - 0.5)
    })
    this.#order.sort((a, b) => this.#wish[b]! - this.#wish[a]!)
  }

  /** Pieces for a stretch of this length out of those missing; null when none fits. */
  run(length: number, missing: Int32Array): StretchCut | null {
    const counts = this.#counts.fill(0)
    let room = length
    for (const i of this.#order) {
      if (room <= this.#tail) break
      const piece = this.#kinds[i]!.length
      const most = Math.min(missing[i]!, Math.floor((room - this.#tail) / piece))
      if (most <= 0) continue
      counts[i] = most
      room -= most * piece
    }
    this.#fillTail(room, missing, counts)
    const cut: StretchCut = []
    for (let i = 0; i < counts.length; i++) if (counts[i]! > 0) cut.push({ kind: i, count: counts[i]! })
    return cut.length > 0 ? cut : null
  }

  #fillTail(room: number, missing: Int32Array, counts: Int32Array): void {
    const offers: FillOffer[] = []
    let offered = 0
    for (const i of this.#order) {
      const count = missing[i]! - counts[i]!
      const { length } = this.#kinds[i]!
      if (count <= 0 || length > room) continue
      offers.push({ kind: i, cells: Math.ceil(length / this.cell), count })
      offered += count * length
    }
    if (offered <= room) {
      for (const { kind, count } of offers) counts[kind] = counts[kind]! + count
      return
    }
    while (offers.length > TAIL_KINDS) offers.splice(Math.floor(this.#random() * offers.length), 1)
    this.#fill.run(Math.floor(room / this.cell), offers, counts)
  }
}
