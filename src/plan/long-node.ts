import type { MicroEur } from '../quantity/money.ts'
import type { Branching } from './branching.ts'
import type { LongChoice, LongDeal } from './long-deal.ts'
import type { LongHall } from './long-hall.ts'
import type { LongPieces } from './long-pieces.ts'
import type { PricedPlan, ShortPrices } from './long-prices.ts'
import type { PutupBranch } from './long-stretch.ts'
import { ANY_REST, type RestRange } from './rest-worth.ts'

/** What is let in of one drum. */
export interface LongBranch {
  /** May be left alone. */
  idle: boolean
  /** By set of places and way: codes of the choices that may still be part of something better than the plan; null for all. */
  codes: (ReadonlySet<number> | null)[][]
  putups: PutupBranch
  /** What may stay on it. */
  range: RestRange
}

/** The kinds of long pieces that are told apart in a node and those split from it, and all that is known with these. */
export interface LongLevel {
  pieces: LongPieces
  /** Cells that a stretch is divided into. */
  cells: number
  hall: LongHall
  deal: LongDeal
  /** Prices of long pieces, by kind: they prove nothing and only say early what cannot be the best. */
  prices: number[]
  /** Plans of the relaxation so far. */
  dealt: DealtPlan[]
}

/** One part of all that could be done: what is let in, what it costs at least, and the prices that say so. */
export interface LongNode {
  level: LongLevel
  drums: LongBranch[]
  boundMicro: MicroEur
  /** The best prices known, and those to try next. */
  centre: ShortPrices
  next: ShortPrices
  /** How far the next prices may lie from the centre, as a share of it. */
  box: number
  tried: number
}

/** A whole plan of the relaxation, drum by drum. */
export interface DealtPlan extends PricedPlan {
  drums: DealtDrum[]
}

/** Who gets which long pieces, as a bound has dealt them out: where a search may begin. */
export interface Deal {
  /** By drum: long pieces by item; null where the drum is left alone. */
  drums: (Map<number, number> | null)[]
  /** Items that are dealt out. */
  dealt: readonly boolean[]
  /** Prices that the short pieces were bought at, by item. */
  prices: Float64Array
}

export interface DealtDrum {
  choice: LongChoice
  /** Put-ups in use, bit by bit. */
  putups: number
  /** What stays on it; all of it where it is left alone. */
  restUm: number
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

/** Codes for which `keep` holds. */
export function codesWhere(
  { codes }: LongBranch,
  keep: (code: number) => boolean,
): (ReadonlySet<number> | null)[][] {
  return codes.map((ways) => ways.map((of) => new Set([...(of ?? [])].filter(keep))))
}

/** As far as lengths are concerned: which drums are mounted for certain or not at all, and what may stay on them. */
export function lengthsOf({ drums }: LongNode): Branching {
  const of = ({ idle, codes, range }: LongBranch) => {
    const none = codes.every((ways) => ways.every((c) => c?.size === 0))
    return { mounted: none ? false : idle ? null : true, woundOff: null, range, putups: new Map() }
  }
  return { drums: drums.map(of), counts: new Map(), lots: new Map() }
}

/** Everything let in. */
export function freeBranch(waysOfSets: number[]): LongBranch {
  return {
    idle: true,
    codes: waysOfSets.map((ways) => Array.from({ length: ways }, () => null)),
    putups: { required: 0, barred: 0 },
    range: ANY_REST,
  }
}
