import type { CableType } from '../cable/cable-type.ts'
import type { Costs } from '../hall/costs.ts'
import type { OrderLine } from '../order/order-line.ts'
import { UM_PER_MM } from '../quantity/length.ts'
import type { Connector } from './connector.ts'
import { leadCutUm } from './cut-length.ts'
import { BEHIND_FERRULE_MM } from './set-connector.ts'

/** What becomes of a lead that fails. */
export interface FailedLead {
  /** Cable left once both connectors are cut off, mm. */
  cableLeftMm: number
  /** Lines of leads that the rest is long enough for, longest first. */
  serves: { order: string; line: number; cutMm: number }[]
  /** What is lost: material of the cable and two connectors, and what its copper pays, EUR. */
  lostEur: number
  scrapReturnEur: number
  says: string
}

/** Gathered where a shorter lead can be made of it, scrap where none can. */
export function failedLead(
  line: OrderLine,
  cutMm: number,
  parts: {
    cable: CableType
    a: Connector
    b: Connector
    connectors: Connector[]
    orders: OrderLine[]
    costs: Costs
  },
): FailedLead {
  const { cable, a, b, connectors, orders, costs } = parts
  const offMm = a.stripJacketMm + b.stripJacketMm + 2 * BEHIND_FERRULE_MM
  const cableLeftMm = Math.max(0, cutMm - offMm)
  const partOf = (id: string | null) => connectors.find(({ part }) => part === id) ?? null
  const serves = orders
    .filter(
      (other) =>
        other.kind === 'lead' && other.cable === line.cable && other !== line && other.sameLotGroup === null,
    )
    .map((other) => ({
      order: other.order,
      line: other.line,
      cutMm:
        leadCutUm(other.lengthUm, other.lengthDefinition, partOf(other.connA), partOf(other.connB)) /
        UM_PER_MM,
    }))
    .filter((other) => other.cutMm <= cableLeftMm)
    .sort((x, y) => y.cutMm - x.cutMm)
  const metres = cutMm / 1_000
  const scrapReturnEur =
    (cable.copperKgKm / 1_000) *
    metres *
    costs.copperNowEurKg *
    costs.scrapReturnRatioOfCopper *
    (cable.copperKgKm / cable.massKgKm)
  const best = serves[0]
  return {
    ...{ cableLeftMm, serves, scrapReturnEur },
    lostEur: metres * (costs.materialCostEurM[cable.cable] ?? 0) + a.priceEur + b.priceEur,
    says: best
      ? `cut both connectors off and keep the ${cableLeftMm.toFixed(0)} mm: it makes a lead of ${best.order}/${best.line}`
      : 'scrap: no line of leads is short enough for what is left',
  }
}
