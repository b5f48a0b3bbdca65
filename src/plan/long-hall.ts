import type { MicroEur } from '../quantity/money.ts'
import type { Catalog } from './catalog.ts'
import type { TypeInstance } from './instance.ts'
import { cleanUm } from './least-taken.ts'
import {
  type DealtDrum,
  type DealtPlan,
  type LongBranch,
  type LongPart,
  leftAlone,
  type ShortPrices,
} from './long-branch.ts'
import type { Dealt, LongChoice } from './long-deal.ts'
import { LongDrum } from './long-drum.ts'
import { LongFillings } from './long-fillings.ts'
import { LetIn } from './long-let-in.ts'
import type { LongPieces } from './long-pieces.ts'
import { placeSets, waysOf } from './place-set.ts'

/** So many choices looked at take about as long as filling one stretch. */
const STEPS_A_UNIT = 500

/** Lines that are used, each of which costs its change of cable. */
interface LineSet {
  lines: ReadonlySet<string>
  fixedMicro: MicroEur
}

/** All drums of a cable type, at all their places and in all ways of working them, at given prices of short pieces. */
export class LongHall {
  readonly #instance: TypeInstance
  readonly #pieces: LongPieces
  /** By drum, set of places and way. */
  readonly #drums: LongDrum[][][]
  readonly #short = new LongFillings()
  /** By drum: the choice that it is when left alone; null where that would leave too much in no piece. */
  readonly #idleCodes: (number | null)[]
  readonly #caps: Float64Array
  /** What each earns with each choice at the prices last given. */
  #earned: Map<number, number>[][][] = []

  /** `cells`: so many is a stretch divided into; `base`: what is left from when fewer kinds were long. */
  constructor(
    catalog: Catalog,
    instance: TypeInstance,
    pieces: LongPieces,
    cells: number,
    base: { pieces: LongPieces; drums: LongBranch[] } | null,
  ) {
    this.#instance = instance
    this.#pieces = pieces
    this.#idleCodes = instance.drums.map((drum, d) => {
      if (base && leftAlone(base.drums[d]!)) return 0
      const units = Math.floor(cleanUm(drum) / pieces.unused.unitUm)
      return units > pieces.unused.most ? null : units * pieces.codes
    })
    this.#caps = Float64Array.from(instance.items, (i) => i.demand)
    this.#drums = instance.drums.map((model, d) =>
      placeSets(model).map((set, s) =>
        waysOf(model, set).map((woundOff, w) => {
          const left = base && new LetIn(base.pieces, base.drums[d]!.codes[s]![w]!)
          return new LongDrum(this.#short, catalog, instance.items, pieces, model, set, woundOff, cells, left)
        }),
      ),
    )
  }

  /** About how many steps a set of prices takes with so many times as many choices. */
  effort(node: LongPart, times: number): number {
    let sum = 0
    for (const [d, sets] of this.#drums.entries())
      for (const [s, ways] of sets.entries())
        for (const [w, drum] of ways.entries())
          if (node.drums[d]!.codes[s]![w]?.size !== 0) sum += drum.effort(times)
    return sum
  }

  get work(): number {
    const steps = this.#drums.flat(2).reduce((sum, drum) => sum + drum.steps, 0)
    return this.#short.runs + Math.ceil(steps / STEPS_A_UNIT)
  }

  /** By drum and set of places: ways of working it. */
  get waysOfSets(): number[][] {
    return this.#drums.map((sets) => sets.map((ways) => ways.length))
  }

  /** Finds out what everything that a node lets in earns at these prices; false where `over` broke it off. */
  price(node: LongPart, prices: ShortPrices, over: () => boolean): boolean {
    this.#earned = []
    this.#short.begin(prices.items, this.#caps)
    for (const [d, sets] of this.#drums.entries()) {
      if (over()) return false
      const branch = node.drums[d]!
      this.#earned.push(
        sets.map((ways, s) => ways.map((drum, w) => this.#most(drum, branch, branch.codes[s]![w]!))),
      )
    }
    return true
  }

  #most(drum: LongDrum, branch: LongBranch, codes: ReadonlySet<number> | null): Map<number, number> {
    if (codes?.size === 0) return new Map()
    drum.restrict(codes, branch.putups, branch.range)
    return drum.most(this.#short)
  }

  *lineSets(): Generator<LineSet> {
    const lines = [...this.#instance.lineFixed]
    for (let used = 0; used < 1 << lines.length; used++) {
      const of = lines.filter((_, i) => (used >> i) & 1)
      yield {
        lines: new Set(of.map(([line]) => line)),
        fixedMicro: of.reduce((sum, [, micro]) => sum + micro, 0),
      }
    }
  }

  /** What each drum may do where only these lines are used: of equal choices the cheapest. */
  choices(node: LongPart, lines: ReadonlySet<string>): LongChoice[][] {
    const { codes } = this.#pieces
    return this.#drums.map((_, d) => {
      const best = new Map<number, LongChoice>()
      const idle = node.drums[d]!.idle ? this.#idleCodes[d]! : null
      if (idle !== null) best.set(idle, { code: idle, costMicro: 0, at: null })
      for (const { set, way, code, costMicro } of this.#costs(d, lines))
        if (costMicro < (best.get(code)?.costMicro ?? Number.POSITIVE_INFINITY))
          best.set(code, { code, costMicro, at: { set, way } })
      // what leaves more in no piece and costs no less is of no use
      return [...best.values()].filter(({ code, costMicro }) => {
        for (const less of this.#pieces.withNoMore(code - codes))
          if ((best.get(less)?.costMicro ?? Number.POSITIVE_INFINITY) <= costMicro) return false
        return true
      })
    })
  }

  *#costs(
    d: number,
    lines: ReadonlySet<string>,
  ): Generator<{ set: number; way: number; code: number; costMicro: number }> {
    for (const [set, ways] of this.#drums[d]!.entries()) {
      if (ways[0]!.set.places.some((p) => p.line !== null && !lines.has(p.id))) continue
      for (const way of ways.keys())
        for (const [code, micro] of this.#earned[d]![set]![way]!) yield { set, way, code, costMicro: -micro }
    }
  }

  /** Notes, over all sets of lines, what could be part of something cheaper than the plan. */
  keeper(): Keeper {
    const codes = this.#drums.map((sets) => sets.map((ways) => ways.map(() => new Set<number>())))
    const idle = this.#drums.map(() => false)
    return {
      note: (lines, choices, leastWith, mostMicro) => {
        for (const [d, of] of choices.entries()) {
          // what all else costs beside a choice
          const beside = new Map(of.map(({ code, costMicro }, n) => [code, leastWith[d]![n]! - costMicro]))
          // of what was of no use: no more than that beside what is better
          const besideOf = (code: number) => {
            for (const less of this.#pieces.withNoMore(code)) if (beside.has(less)) return beside.get(less)!
            return mostMicro
          }
          if (besideOf(this.#idleCodes[d] ?? -1) < mostMicro) idle[d] = true
          for (const { set, way, code, costMicro } of this.#costs(d, lines))
            if (besideOf(code) + costMicro < mostMicro) codes[d]![set]![way]!.add(code)
        }
      },
      leftOf: (node) =>
        node.drums.map((branch, d) => ({
          ...branch,
          idle: branch.idle && idle[d]!,
          // the same set where nothing was left out, since another one is taken for news
          codes: branch.codes.map((ways, s) =>
            ways.map((old, w) => (old && sameSet(old, codes[d]![s]![w]!) ? old : codes[d]![s]![w]!)),
          ),
        })),
    }
  }

  /** What was dealt as a whole plan, with the short pieces that go with it at these prices. */
  planOf(node: LongPart, { choices, costMicro, unserved }: Dealt, prices: ShortPrices): DealtPlan {
    let besideMicro = costMicro
    let weightMicro = 0
    const drums = choices.map((choice, d): DealtDrum => {
      const branch = node.drums[d]!
      besideMicro -= choice.costMicro
      if (!choice.at) {
        const restUm = this.#instance.drums[d]!.usable.good.toUm
        return { choice, key: 'idle', costMicro: 0, amounts: new Map(), putups: 0, restUm, unusedUm: restUm }
      }
      const drum = this.#drums[d]![choice.at.set]![choice.at.way]!
      const short = drum.shortOf(this.#short, choice.code)
      const key = `${choice.code} ${choice.at.set} ${choice.at.way}`
      const { amounts, unusedUm } = short
      const worthMicro = [...amounts].reduce((sum, [item, n]) => sum + n * prices.items[item]!, 0)
      // rounding to cells may have led out of what is let in
      const restUm = Math.min(Math.max(short.restUm, branch.range.leastUm), branch.range.mostUm)
      const putups = short.putups | branch.putups.required
      return { choice, key, costMicro: choice.costMicro + worthMicro, amounts, putups, restUm, unusedUm }
    })
    for (const { kind, pieces } of unserved) {
      const weights = kind.tiers.flatMap((t) => Array.from({ length: t.pieces }, () => t.weightMicro))
      for (const weight of weights.slice(0, pieces)) {
        weightMicro += weight
        besideMicro -= Math.floor(prices.service * weight)
      }
    }
    return { besideMicro, weightMicro, drums }
  }
}

function sameSet(a: ReadonlySet<number>, b: ReadonlySet<number>): boolean {
  return a.size === b.size && [...a].every((code) => b.has(code))
}

interface Keeper {
  note(
    lines: ReadonlySet<string>,
    choices: LongChoice[][],
    leastWith: Float64Array[],
    mostMicro: number,
  ): void
  leftOf(node: LongPart): LongBranch[]
}
