import type { MicroEur } from '../quantity/money.ts'
import type { LongChoice } from './long-deal.ts'
import type { PutupBranch } from './long-fillings.ts'
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

/** Prices of short pieces, by item, and of service: what a micro-euro more left unserved would save. */
export interface ShortPrices {
  items: Float64Array
  service: number
}

/** A whole plan of the relaxation, drum by drum. */
export interface DealtPlan {
  /** Beside what its drums cost: changes of cable, and credit forgone for long pieces. */
  besideMicro: MicroEur
  /** What its long pieces left unserved weigh. */
  weightMicro: MicroEur
  drums: DealtDrum[]
}

/** Who gets which pieces, as a bound has dealt them out: where a search may begin. */
export interface Deal {
  /** By drum: pieces by item, of those that do not come in parts; null where the drum is left alone. */
  drums: (Map<number, number> | null)[]
  /** Prices that short pieces were bought at, and those that long ones began with, by item. */
  prices: Float64Array
}

export interface DealtDrum {
  choice: LongChoice
  /** Names the choice: what it is, where and in which way. */
  key: string
  /** Without the worth of its short pieces. */
  costMicro: MicroEur
  /** Short pieces by item. */
  amounts: ReadonlyMap<number, number>
  /** Put-ups in use, bit by bit. */
  putups: number
  /** What stays on it; all of it where it is left alone. */
  restUm: number
  /** The least clean length that is in no piece. */
  unusedUm: number
}

/** Codes for which `keep` holds. */
export function codesWhere(
  { codes }: LongBranch,
  keep: (code: number) => boolean,
): (ReadonlySet<number> | null)[][] {
  return codes.map((ways) => ways.map((of) => new Set([...(of ?? [])].filter(keep))))
}

/** Whether nothing may be cut of it. */
export function leftAlone({ codes }: LongBranch): boolean {
  return codes.every((ways) => ways.every((of) => of?.size === 0))
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
