import type { MicroEur } from '../quantity/money.ts'
import type { Catalog } from './catalog.ts'
import type { Duals } from './duals.ts'
import type { TypeInstance } from './instance.ts'
import { cleanUm, leastTakenUm, withLeastTaken } from './least-taken.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import { type Deal, freeBranch, type LongBranch, leftAlone, type ShortPrices } from './long-branch.ts'
import { type Dealt, LongDeal } from './long-deal.ts'
import { LongHall } from './long-hall.ts'
import { type LongLevel, type LongNode, lengthsOf } from './long-node.ts'
import { LongPieces, type UnusedUnits } from './long-pieces.ts'
import { type DrumShare, type PricedNear, pricesNear } from './long-prices.ts'
import { longSplits } from './long-split.ts'
import { AS_MUCH_MICRO } from './master.ts'
import { wholeDeal } from './whole-deal.ts'

/** Choices of how many long pieces of each kind that are told apart at first. */
const FIRST_CODES = 300
/**
 * Units that what may be in no piece is counted in, once few choices are left: with more of them every choice of pieces becomes as
 * many. Without, prices mix a plan that leaves more than there is with one that leaves nothing. A tuned
 * figure.
 */
const UNITS = 8
/** Cells that a stretch is divided into at first, and how they grow. */
const FIRST_CELLS = 1_000
const FINER = 4
const MOST_CELLS = 8_000
/** Cells for what can be split no further. */
const FINEST_CELLS = 16_000
/** Levels that nodes may stand on at a time: each takes memory. */
const MOST_LEVELS = 8
/** Steps of reckoning for one set of prices that more kinds of long pieces may lead to, and the most choices. */
const MOST_EFFORT = 200_000
const MOST_CHOICES = 1_000
/** How much fewer choices are tried where they would take too many steps. */
const LESS = 0.8
/** A bound this near is as good as reached: half a cent. */
const NEAR_MICRO = 5_000
/** Prices are as good as the best when no others can prove more than this, or than this share of what is left to prove. */
const SETTLED_MICRO = 200_000
const SETTLED_SHARE = 0.05
/** Prices of one node that are tried at most. */
const MOST_TRIED = 40
/** Plans of the relaxation that prices reckon with. */
const MOST_PLANS = 400
/** Deals kept for the search to begin from. */
const MOST_DEALS = 20
/** How far from the best prices known the next may lie at first, as a share, and how that grows and shrinks. */
const BOX = 0.05
const GROW = 1.5
const SHRINK = 0.7
const LEAP = 3
/** No box is wider: so far away hardly any price is held back. */
const ANYWHERE = 100
/** Ways to split a node that are tried, and how much the guess counts beside the trial. */
const PROBED = 8
const GUESS = 2

/**
 * Proven lower bound on the cost of one cable type at a given service, for a type of few drums. The long pieces are given out
 * drum by drum, each of them whole (see LongDeal); the short ones, which lie anywhere, at prices. What even so can be part of
 * nothing cheaper than the plan is left out for good, so that the bound rises as it goes on. Where no prices do better, the node is
 * split. The bound is that of the worst node.
 *
 * Lagrangian relaxation of the short pieces only (Geoffrion 1974), prices by cutting planes in a box (Marsten, Hogan and Blankenship
 * 1975), both from memory; exact in whole micro-euro for any prices.
 */
export class LongBound {
  readonly #instance: TypeInstance
  readonly #engine: LinearProgramEngine
  readonly #unservedMicro: MicroEur
  readonly #leastUm: number
  readonly #catalog: Catalog
  #work = 0
  /** Not yet asked for, the latest last. */
  readonly #deals: Deal[] = []
  #open: LongNode[]
  #at: LongNode | null = null
  /** Least bound of the nodes that are done with. */
  #doneMicro = Number.POSITIVE_INFINITY

  /** `duals`: prices to begin with. */
  constructor(
    catalog: Catalog,
    instance: TypeInstance,
    engine: LinearProgramEngine,
    unservedMicro: MicroEur,
    duals: Duals,
  ) {
    this.#catalog = catalog
    this.#instance = instance
    this.#engine = engine
    this.#unservedMicro = unservedMicro
    this.#leastUm = leastTakenUm(instance.items, unservedMicro + AS_MUCH_MICRO)
    const level = this.#level(new LongPieces(instance, FIRST_CODES), FIRST_CELLS, null)
    const centre = { items: duals.items, service: duals.service }
    const drums = level.hall.waysOfSets.map(freeBranch)
    const boundMicro = Number.NEGATIVE_INFINITY
    this.#open = [{ level, drums, boundMicro, centre, next: centre, box: BOX, tried: 0 }]
  }

  /** Who got which pieces when prices last settled, once each; null where there is no more. */
  takeDeal(): Deal | null {
    return this.#deals.pop() ?? null
  }

  /** Stretches filled so far: the measure of work. */
  get work(): number {
    return this.#work
  }

  /** −Infinity before the first step. */
  get boundMicro(): MicroEur {
    return this.#open.reduce((least, n) => Math.min(least, n.boundMicro), this.#doneMicro)
  }

  /** One set of prices more. false once no more can be proven, or where `over` broke it off. */
  step(planMicro: MicroEur, over: () => boolean): boolean {
    const node = this.#next(planMicro)
    if (!node) return false
    if (!this.#tighten(node)) {
      this.#done(node, planMicro)
      return true
    }
    const prices = node.next
    const found = this.#bound(node, prices, planMicro, over)
    if (found === 'broken off') return false
    if (!found || found.boundMicro >= planMicro - NEAR_MICRO) {
      this.#done(node, planMicro)
      return true
    }
    const better = found.boundMicro > node.boundMicro
    if (better) {
      node.boundMicro = found.boundMicro
      node.centre = prices
    }
    const { hall, dealt } = node.level
    const plan = hall.planOf(node, found.dealt, prices)
    dealt.push(plan)
    // the oldest say least about where the prices are now
    if (dealt.length > MOST_PLANS) dealt.shift()
    this.#reprice(node, better, planMicro)
    return true
  }

  #next(planMicro: MicroEur): LongNode | null {
    if (this.#at) return this.#at
    let worst: LongNode | null = null
    for (const node of this.#open) if (!worst || node.boundMicro < worst.boundMicro) worst = node
    // once a node that can be split no further is the worst, all else is of no use
    const useful = worst && worst.boundMicro < Math.min(planMicro - NEAR_MICRO, this.#doneMicro)
    this.#at = useful ? worst : null
    return this.#at
  }

  #done(node: LongNode, boundMicro: MicroEur): void {
    this.#open = this.#open.filter((n) => n !== node)
    this.#doneMicro = Math.min(this.#doneMicro, boundMicro)
    this.#at = null
  }

  /** What follows from lengths; false where the drums that are left cannot give all that is wanted. */
  #tighten(node: LongNode): boolean {
    const tight = withLeastTaken(this.#instance, lengthsOf(node), this.#leastUm)
    if (!tight) return false
    node.drums = node.drums.map((branch, d) => {
      const { mounted, range } = tight.drums[d]!
      return { ...branch, idle: branch.idle && mounted !== true, range }
    })
    return true
  }

  /** Lower bound of a node from any prices; null where it holds nothing cheaper than the plan. */
  #bound(
    node: LongNode,
    prices: ShortPrices,
    planMicro: MicroEur,
    over: () => boolean,
  ): { boundMicro: MicroEur; dealt: Dealt } | null | 'broken off' {
    const { pieces, hall, deal } = node.level
    const workBefore = hall.work
    const priced = hall.price(node, prices, over)
    this.#work += hall.work - workBefore
    if (!priced) return 'broken off'
    const paidMicro = this.#paid(pieces, prices)
    // those of long pieces stay as they were; they prove nothing and only say early what cannot be the best
    const longPrices = pieces.kinds.map((k) => prices.items[k.items[0]!.index]!)
    const terms = { prices: longPrices, service: prices.service }
    let best: Dealt | null = null
    const kept = hall.keeper()
    for (const { lines, fixedMicro } of hall.lineSets()) {
      const choices = hall.choices(node, lines)
      if (choices.some((of) => of.length === 0)) continue
      const dealt = deal.deal(choices, terms, fixedMicro, planMicro - paidMicro)
      if (!dealt) continue
      if (!best || dealt.costMicro < best.costMicro) best = dealt
      kept.note(lines, choices, dealt.leastWith, planMicro - paidMicro)
    }
    if (!best) return null
    node.drums = kept.leftOf(node)
    return { boundMicro: Math.floor(paidMicro + best.costMicro), dealt: best }
  }

  /** What prices pay for short pieces, less what may stay unserved could earn of it. */
  #paid({ holds }: LongPieces, prices: ShortPrices): number {
    let paid = -Math.ceil(prices.service * (this.#unservedMicro + AS_MUCH_MICRO + 1))
    for (const item of this.#instance.items) {
      if (holds[item.index]) continue
      const price = prices.items[item.index]!
      paid += Math.floor(price * item.demand * item.leastShare)
      for (const tier of item.tiers)
        paid +=
          Math.min(0, item.creditMicro + Math.floor(prices.service * tier.weightMicro) - price) * tier.pieces
    }
    return paid
  }

  /** Finds the next prices of a node, or splits it where there are none better. */
  #reprice(node: LongNode, better: boolean, planMicro: MicroEur): void {
    const near = (box: number) => this.#near(node, box)
    node.tried++
    let next = near(node.box)
    if (!better) node.box *= SHRINK
    else if (next?.boxed) node.box = Math.min(ANYWHERE, node.box * GROW)
    const settledMicro = Math.max(SETTLED_MICRO, SETTLED_SHARE * (planMicro - node.boundMicro))
    const last = node.tried >= MOST_TRIED
    while (next && (last || next.mostMicro - node.boundMicro < settledMicro)) {
      // a box so wide that holds back even so is that of pieces which nothing can serve: no prices settle them
      if (last || !next.boxed || node.box >= ANYWHERE) {
        this.#deals.push(wholeDeal(this.#instance, node.level.pieces, next))
        if (this.#deals.length > MOST_DEALS) this.#deals.shift()
        const parts = this.#parted(node, next.mixture, planMicro)
        if (parts) this.#replace(node, parts)
        else this.#done(node, node.boundMicro)
        return
      }
      node.box = Math.min(ANYWHERE, node.box * LEAP)
      next = near(node.box)
    }
    if (next) node.next = next.prices
    else this.#done(node, node.boundMicro)
  }

  #near(node: LongNode, box: number): PricedNear | null {
    return pricesNear(this.#instance, this.#engine, this.#unservedMicro, node, box)
  }

  /** What a node whose prices have settled is looked at as from now on: more closely, or in two parts; null where nothing helps. */
  #parted(node: LongNode, mixture: DrumShare[][], planMicro: MicroEur): LongNode[] | null {
    // another level takes memory
    const room = new Set(this.#open.map((n) => n.level)).size < MOST_LEVELS
    const deeper = room ? this.#deeper(node) : null
    if (deeper) return [deeper]
    const split = this.#split(node, mixture, planMicro)
    if (split) return split
    const { pieces, cells } = node.level
    return room && cells < FINEST_CELLS ? [this.#closer(node, pieces, cells * FINER)] : null
  }

  /** The same node with more kinds of long pieces told apart; null where there are no more, or too many choices would come of it. */
  #deeper(node: LongNode): LongNode | null {
    const { pieces: base, hall: before } = node.level
    const cells = Math.max(node.level.cells, Math.min(MOST_CELLS, node.level.cells * FINER))
    const choices = node.drums.reduce(
      (sum, b) => sum + b.codes.flat().reduce((n, c) => n + (c ? base.leastUnused(c).size : 0), 0),
      0,
    )
    let times = MOST_CHOICES / choices
    while (times > 1 && before.effort(node, times) > MOST_EFFORT) times *= LESS
    const pieces = new LongPieces(this.#instance, times, base, this.#unused(node))
    // finer cells alone gain little after the first time, until there is nothing left to split
    const more = pieces.kinds.length > base.kinds.length || node.level.cells === FIRST_CELLS
    return more ? this.#closer(node, pieces, cells) : null
  }

  /** The same node with these kinds of long pieces, of which those of its level are the first, and so many cells. */
  #closer(node: LongNode, pieces: LongPieces, cells: number): LongNode {
    const level = this.#level(pieces, cells, { pieces: node.level.pieces, drums: node.drums })
    const drums = pieces === node.level.pieces ? node.drums : node.drums.map(ofOtherKinds)
    return { ...node, level, drums, next: node.centre, box: BOX, tried: 0 }
  }

  /** `base`: what is left from when fewer kinds were long. */
  #level(
    pieces: LongPieces,
    cells: number,
    base: { pieces: LongPieces; drums: LongNode['drums'] } | null,
  ): LongLevel {
    const hall = new LongHall(this.#catalog, this.#instance, pieces, cells, base)
    return { pieces, cells, hall, deal: new LongDeal(this.#instance, pieces), dealt: [] }
  }

  /** What all drums together that are not left alone may have in no piece. */
  #unused(node: LongNode): UnusedUnits {
    const drums = this.#instance.drums.filter((_, d) => !leftAlone(node.drums[d]!))
    const unusedUm = drums.reduce((sum, drum) => sum + cleanUm(drum), -this.#leastUm)
    const unitUm = Math.max(1, Math.ceil(unusedUm / UNITS))
    return { unitUm, most: Math.max(0, Math.floor(unusedUm / unitUm)) }
  }

  #replace(node: LongNode, by: LongNode[]): void {
    this.#open = [...this.#open.filter((n) => n !== node), ...by]
    this.#at = null
  }

  /** Splits where the bounds of the two halves rise most, as far as the plans known so far tell. */
  #split(node: LongNode, mixture: DrumShare[][], planMicro: MicroEur): LongNode[] | null {
    const splits = longSplits(this.#instance, node, mixture, BOX)
    let most = Number.NEGATIVE_INFINITY
    let best: LongNode[] | null = null
    for (const { gainMicro, children } of splits.slice(0, PROBED)) {
      const rises = children.map((child) => {
        const near = this.#near(child, ANYWHERE)
        return Math.min(near?.mostMicro ?? planMicro, planMicro) - node.boundMicro
      })
      const score = GUESS * gainMicro + 0.8 * Math.min(...rises) + 0.2 * Math.max(...rises)
      if (score <= most) continue
      most = score
      best = children
    }
    return best
  }
}

/** What other kinds of long pieces would make of the choices of a drum is not known, but that there is none where none is left. */
function ofOtherKinds(branch: LongBranch): LongBranch {
  const codes = branch.codes.map((ways) => ways.map((c) => (c?.size === 0 ? c : null)))
  return { ...branch, codes }
}
