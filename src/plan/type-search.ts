import { bestFit } from './best-fit.ts'
import type { Catalog } from './catalog.ts'
import type { TypeInstance } from './instance.ts'
import type { Deal } from './long-branch.ts'
import type { Pattern } from './pattern.ts'
import type { Market } from './plan-offers.ts'
import { Pricer } from './pricing.ts'
import type { Random } from './random.ts'
import { isBetter, solutionOf, type TypeSolution, tidied } from './type-solution.ts'

/** A plan that costs this much more than the best is nearly as good. */
const NEARLY_MICRO = 15_000_000
/** What is missing is worth so many times its price, and more than any change of put-up or mounting. */
const MISSING_FACTOR = 4
const MISSING_MICRO = 60_000_000
/** Patterns kept of one type. */
const MOST_PATTERNS = 2500

interface Candidate {
  pattern: Pattern
  /** Profit per worth served: what is lost on each euro. */
  share: number
}

/**
 * Whole-number plans of one cable type by filling drums one after the other at prices, the best bargain first. Patterns of good
 * plans are kept for the bound to begin with.
 */
export class TypeSearch {
  readonly catalog: Catalog
  readonly instance: TypeInstance
  readonly pricer: Pricer
  readonly random: Random
  /** Micro-euro a piece: a guess. */
  readonly #prices: Float64Array
  best: TypeSolution | null = null
  readonly pool = new Map<string, Pattern>()

  constructor(catalog: Catalog, instance: TypeInstance, random: Random) {
    this.catalog = catalog
    this.instance = instance
    this.pricer = new Pricer(catalog, instance.items)
    this.random = random
    // material plus a quarter, and one change of put-up shared by ten pieces
    this.#prices = Float64Array.from(instance.items, (i) => i.creditMicro * 1.25 + 400_000)
  }

  /**
   * Builds a plan fast: drums in order of length, short ones first, each filled with as much as it takes; `longBias` makes
   * long pieces dearer than their length, so that they find their place while there is room.
   */
  sweep(longBias: number, late: () => boolean): TypeSolution {
    const longestUm = Math.max(1, ...this.instance.items.map((i) => i.cutUm))
    const prices = Float64Array.from(
      this.instance.items,
      (i) => 3 * i.creditMicro * (1 + (longBias * i.cutUm) / longestUm) + 1e6,
    )
    const lots = this.#drawLots(new Map())
    const order = this.instance.drums.map((_, d) => d).sort((a, b) => this.#lengthOf(a) - this.#lengthOf(b))
    let patterns: Pattern[] = []
    for (const drum of order) if (!late()) patterns = this.#fillDrums(patterns, [drum], prices, lots)
    return this.consider(patterns)
  }

  /** Builds a plan that serves as much as may be, whatever it costs; for a type that is still short. */
  serveMore(): void {
    this.consider(bestFit(this.catalog, this.instance, this.#drawLots(new Map())))
  }

  /** Builds a plan in which every drum gives what it was dealt, as far as that lies in it, and any parts of pieces. */
  follow({ drums, prices }: Deal): TypeSolution {
    const worth = prices.map((price) => price * MISSING_FACTOR)
    const lots = new Map<string, string>()
    for (const [d, counts] of drums.entries())
      for (const item of counts?.keys() ?? []) {
        const { group } = this.instance.items[item]!
        if (group !== null) lots.set(group, this.instance.drums[d]!.usable.drum.lot)
      }
    const most = drums.map((counts) =>
      this.instance.items.map(({ index, split, loose }) =>
        split || loose ? Number.POSITIVE_INFINITY : (counts?.get(index) ?? 0),
      ),
    )
    const used = drums.flatMap((counts, d) => (counts ? [d] : []))
    return this.consider(this.#fillDrums([], used, worth, this.#drawLots(lots), most))
  }

  /** Fills free drums beside patterns that stay, at prices `factor` times as high; what is `urgent` comes before all else. */
  refill(kept: Pattern[], free: number[], factor: number, urgent: Float64Array | null): TypeSolution {
    const prices = this.#noisy(factor, factor === 1 ? 0 : this.random() * 0.2)
    for (const [item, missing] of urgent?.entries() ?? [])
      if (missing > 1e-7) prices[item] = prices[item]! * MISSING_FACTOR + MISSING_MICRO
    return this.consider(this.#fillDrums(kept, free, prices, this.#drawLots(this.#lotsOf(kept))))
  }

  #lengthOf(drum: number): number {
    return this.instance.drums[drum]!.usable.lengthUm
  }

  /** What a set of patterns comes to; kept if it is the best so far. */
  consider(patterns: Pattern[]): TypeSolution {
    const solution = solutionOf(this.instance, tidied(this.catalog, this.instance, patterns))
    const better = isBetter(solution, this.best)
    // what is nearly as good may hold a pattern that the best plan lacks
    if (better || (this.best && isBetter(solution, this.best, NEARLY_MICRO)))
      for (const pattern of solution.patterns) this.#remember(pattern)
    if (better) this.best = solution
    return solution
  }

  #remember(pattern: Pattern): void {
    const key = `${pattern.drum}:${pattern.place}:${pattern.costMicro}:${[...pattern.amounts].sort((a, b) => a[0] - b[0]).join(';')}`
    if (!this.pool.has(key) && this.pool.size < MOST_PATTERNS) this.pool.set(key, pattern)
  }

  /** What a drum may still serve: nothing of a lot group that is bound to another lot. */
  #marketFor(
    drum: number,
    prices: Float64Array,
    missing: Float64Array,
    partsLeft: Float64Array,
    lots: Map<string, string>,
  ): Market {
    const { lot } = this.instance.drums[drum]!.usable.drum
    const caps = Float64Array.from(missing)
    for (const item of this.instance.items)
      if (item.group !== null && lots.get(item.group) !== lot) caps[item.index] = 0
    return { prices, caps, partsLeft }
  }

  /** `most`: by drum and item, so many pieces and no more. */
  #fillDrums(
    kept: Pattern[],
    free: number[],
    prices: Float64Array,
    lots: Map<string, string>,
    most: number[][] | null = null,
  ): Pattern[] {
    const patterns = [...kept]
    const missing = Float64Array.from(this.instance.items, (i) => i.demand)
    const partsLeft = Float64Array.from(this.instance.items, (i) => i.split?.maxParts ?? 0)
    const take = (pattern: Pattern) => {
      for (const [item, amount] of pattern.amounts) missing[item] = Math.max(0, missing[item]! - amount)
      for (const [item, parts] of pattern.parts) partsLeft[item] = partsLeft[item]! - parts.length
    }
    for (const pattern of kept) take(pattern)
    const candidates = new Map<number, Candidate | null>()
    const left = new Set(free)
    while (left.size > 0 && missing.some((m) => m > 1e-7)) {
      let best: Candidate | null = null
      for (const drum of left) {
        let candidate = candidates.get(drum)
        if (candidate === undefined || (candidate && !stillWanted(candidate.pattern, missing))) {
          const market = this.#marketFor(drum, prices, missing, partsLeft, lots)
          if (most) market.caps = market.caps.map((cap, item) => Math.min(cap, most[drum]![item]!))
          candidate = this.#candidate(drum, market)
          candidates.set(drum, candidate)
        }
        if (candidate && (!best || candidate.share > best.share)) best = candidate
      }
      if (!best) break
      patterns.push(best.pattern)
      left.delete(best.pattern.drum)
      take(best.pattern)
    }
    return patterns
  }

  #candidate(drum: number, market: Market): Candidate | null {
    const model = this.instance.drums[drum]!
    let best: Candidate | null = null
    for (const place of model.places.keys()) {
      const found = this.pricer.pattern(model, drum, place, market)
      if (!found) continue
      let worth = 0
      for (const [item, amount] of found.pattern.amounts) worth += amount * market.prices[item]!
      const share = found.profitMicro / worth
      if (!best || share > best.share) best = { pattern: found.pattern, share }
    }
    return best
  }

  #noisy(factor: number, noise: number): Float64Array {
    return this.#prices.map((p) => Math.max(1, p * factor * (1 + noise * (this.random() * 2 - 1))))
  }

  #lotsOf(patterns: Pattern[]): Map<string, string> {
    const lots = new Map<string, string>()
    for (const pattern of patterns)
      for (const index of pattern.amounts.keys()) {
        const { group } = this.instance.items[index]!
        if (group !== null) lots.set(group, this.instance.drums[pattern.drum]!.usable.drum.lot)
      }
    return lots
  }

  /** Binds each lot group that is not bound yet to a lot, now the largest, now any. */
  #drawLots(bound: Map<string, string>): Map<string, string> {
    const lots = new Map(bound)
    for (const item of this.instance.items) {
      if (item.group === null || lots.has(item.group)) continue
      const lengths = new Map<string, number>()
      for (const drum of this.instance.drums) {
        if (!drum.fits[item.index]) continue
        const { lot } = drum.usable.drum
        lengths.set(
          lot,
          (lengths.get(lot) ?? 0) + drum.usable.clean.reduce((sum, s) => sum + s.toUm - s.fromUm, 0),
        )
      }
      const sorted = [...lengths].sort((a, b) => b[1] - a[1])
      const drawn = this.random() < 0.4 ? sorted[0] : sorted[Math.floor(this.random() * sorted.length)]
      if (drawn) lots.set(item.group, drawn[0])
    }
    return lots
  }
}

function stillWanted(pattern: Pattern, missing: Float64Array): boolean {
  for (const [item, amount] of pattern.amounts) if (amount > missing[item]! + 1e-7) return false
  return true
}
