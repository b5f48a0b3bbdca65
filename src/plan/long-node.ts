import type { MicroEur } from '../quantity/money.ts'
import type { Branching } from './branching.ts'
import type { DealtPlan, LongBranch, LongPart } from './long-branch.ts'
import type { LongDeal } from './long-deal.ts'
import type { LongHall } from './long-hall.ts'
import type { LongPieces } from './long-pieces.ts'
import type { ShortPrices } from './long-prices.ts'

/** The kinds of long pieces that are told apart in a node and those split from it, and all that is known with these. */
export interface LongLevel {
  pieces: LongPieces
  /** Cells that a stretch is divided into. */
  cells: number
  hall: LongHall
  deal: LongDeal
  /** Plans of the relaxation so far. */
  dealt: DealtPlan[]
}

/** One part of all that could be done: what is let in, what it costs at least, and the prices that say so. */
export interface LongNode extends LongPart {
  level: LongLevel
  boundMicro: MicroEur
  /** The best prices known, and those to try next. */
  centre: ShortPrices
  next: ShortPrices
  /** How far the next prices may lie from the centre, as a share of it. */
  box: number
  tried: number
}

/** Whether a plan is one that a node lets in. */
export function letsIn({ drums }: LongNode, plan: DealtPlan): boolean {
  return plan.drums.every(({ choice: { at, code }, putups, restUm }, d) => {
    const branch = drums[d]!
    if (!at) return branch.idle
    if ((putups & branch.putups.barred) !== 0 || (branch.putups.required & ~putups) !== 0) return false
    if (restUm < branch.range.leastUm || restUm > branch.range.mostUm) return false
    return branch.codes[at.set]![at.way]?.has(code) !== false
  })
}

/** The same node with less let in of one drum. */
export function childOf(node: LongNode, drum: number, box: number, change: Partial<LongBranch>): LongNode {
  const drums = node.drums.map((b, d) => (d === drum ? { ...b, ...change } : b))
  return { ...node, drums, next: node.centre, box, tried: 0 }
}

/** As far as lengths are concerned: which drums are mounted for certain or not at all, and what may stay on them. */
export function lengthsOf({ drums }: LongNode): Branching {
  const of = ({ idle, codes, range }: LongBranch) => {
    const none = codes.every((ways) => ways.every((c) => c?.size === 0))
    return { mounted: none ? false : idle ? null : true, woundOff: null, range, putups: new Map() }
  }
  return { drums: drums.map(of), counts: new Map(), lots: new Map() }
}
