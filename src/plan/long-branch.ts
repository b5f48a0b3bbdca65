import type { LongChoice } from './long-deal.ts'
import type { PricedPlan } from './long-prices.ts'
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

/** A part of all that could be done. */
export interface LongPart {
  drums: LongBranch[]
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

/** Codes for which `keep` holds. */
export function codesWhere(
  { codes }: LongBranch,
  keep: (code: number) => boolean,
): (ReadonlySet<number> | null)[][] {
  return codes.map((ways) => ways.map((of) => new Set([...(of ?? [])].filter(keep))))
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
