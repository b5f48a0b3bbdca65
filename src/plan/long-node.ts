import type { MicroEur } from '../quantity/money.ts'
import type { Branching } from './branching.ts'
import {
  type DealtDrum,
  type DealtPlan,
  type LongBranch,
  type LongPart,
  leftAlone,
  type ShortPrices,
} from './long-branch.ts'
import type { LongDeal } from './long-deal.ts'
import type { LongHall } from './long-hall.ts'
import type { LongPieces } from './long-pieces.ts'

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

/** Whether a node lets in what was chosen for a drum, however it is filled. */
export function letsInChoice({ drums, level }: LongNode, d: number, { choice }: DealtDrum): boolean {
  const { idle, codes } = drums[d]!
  return choice.at ? level.pieces.letsIn(codes[choice.at.set]![choice.at.way]!, choice.code) : idle
}

/** Whether it lets in how a drum is filled beside its choice. */
export function letsInFilling(
  { drums }: LongNode,
  d: number,
  { choice, putups, restUm, unusedUm }: DealtDrum,
): boolean {
  const { putups: branch, range } = drums[d]!
  if (!choice.at) return true
  if ((putups & branch.barred) !== 0 || (branch.required & ~putups) !== 0) return false
  return restUm >= range.leastUm && restUm <= range.mostUm && unusedUm <= range.spareUm
}

/** The same node with less let in of one drum. */
export function childOf(node: LongNode, drum: number, box: number, change: Partial<LongBranch>): LongNode {
  const drums = node.drums.map((b, d) => (d === drum ? { ...b, ...change } : b))
  return { ...node, drums, next: node.centre, box, tried: 0 }
}

/** As far as lengths are concerned: which drums are mounted for certain or not at all, and what may stay on them. */
export function lengthsOf({ drums }: LongNode): Branching {
  const of = (branch: LongBranch) => {
    const { idle, range } = branch
    return {
      mounted: leftAlone(branch) ? false : idle ? null : true,
      woundOff: null,
      range,
      putups: new Map(),
    }
  }
  return { drums: drums.map(of), counts: new Map(), lots: new Map() }
}
