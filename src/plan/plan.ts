import { eurFromMicro, type MicroEur } from '../quantity/money.ts'
import type { Mounting } from '../strip/cut-plan.ts'

/** The cost of a plan by item, whole micro-euro; `copperReturned` and `materialDelivered` are credits (negative). */
export interface CostItems {
  stockValueLost: MicroEur
  copperReturned: MicroEur
  mountings: MicroEur
  putupChanges: MicroEur
  windOffs: MicroEur
  putups: MicroEur
  materialDelivered: MicroEur
}

/** What can be offered where an order line is not served. */
export interface Offer {
  /** The longest clean length that could be declared from one place of one drum. */
  lengthUm: number
  drum: string
  lot: string
}

export interface Unserved {
  order: string
  orderLine: number
  pieces: number
  /** One sentence. */
  reason: string
  offer: Offer | null
}

/** Proven: no plan leaves less unserved; no plan that serves as much as this one costs less. */
export interface PlanBound {
  unservedMicro: MicroEur
  costMicro: MicroEur
}

export interface Plan {
  works: string
  seed: number
  /** Amount of search done, in pattern evaluations. */
  work: number
  mountings: Mounting[]
  unserved: Unserved[]
  unservedMicro: MicroEur
  costMicro: MicroEur
  costItems: CostItems
  bound: PlanBound
  /** True when the solve was stopped before its time was up. */
  stopped: boolean
  /** Cost and bound by cable type; they do not sum to the total, since a change of cable on a line belongs to no type. */
  byCable: { cable: string; costMicro: MicroEur; boundMicro: MicroEur; deliveredMicro: MicroEur }[]
  /** Material value of what is delivered: what a gap is judged against. */
  deliveredMicro: MicroEur
}

/**
 * Whether the bound on cost says anything: one that leaves more open than all that is delivered is worth tells a reader nothing, and where
 * none was proven before the plan was stopped it is minus infinity, which comes as null over HTTP.
 */
export function tellsOfCost({ bound, costMicro, deliveredMicro }: Plan): boolean {
  return Number.isFinite(bound.costMicro) && costMicro - bound.costMicro <= deliveredMicro
}

/** The proven bound on cost, euro; null where it says nothing. */
export function toldBoundEur(plan: Plan): number | null {
  return tellsOfCost(plan) ? eurFromMicro(plan.bound.costMicro) : null
}
