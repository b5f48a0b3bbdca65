import type { CableType } from '../cable/cable-type.ts'
import type { OrderLine } from '../order/order-line.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { type LengthUm, mFromUm, UM_PER_MM, umFromM } from '../quantity/length.ts'
import type { Connector } from './connector.ts'
import { leadCutUm } from './cut-length.ts'
import type { LeadTest } from './lead-test.ts'

/** What a lead is to be: cable, connectors and its lengths in the two ways that count electrically. */
export interface LeadSpec {
  cable: CableType
  a: Connector
  b: Connector
  /** Cable between the cut faces: what loses. */
  cutM: number
  /** Between the reference planes of the connectors: what is measured. */
  lengthM: number
  minusM: number
  plusM: number
  /** Upper test frequency, MHz; null where none is asked. */
  toMhz: number | null
  /** null where it is not recorded. */
  tempC: number | null
}

interface Parts {
  cables: CableType[]
  connectors: Connector[]
}

/** The lead of an order line; null where the line is no lead. */
export function specOfOrder(parts: Parts, line: OrderLine): LeadSpec | null {
  if (line.kind !== 'lead' || line.connA === null || line.connB === null) return null
  return {
    ...measures(parts, line.cable, line.connA, line.connB, line.lengthUm, line.lengthDefinition),
    minusM: (line.tolMinusMm ?? 0) / 1_000,
    plusM: (line.tolPlusMm ?? 0) / 1_000,
    toMhz: line.fTestMhz,
    tempC: null,
  }
}

/** A finished lead of lead_tests.csv, whose length is tip to tip. */
export function specOfTest(parts: Parts, test: LeadTest): LeadSpec {
  return {
    ...measures(parts, test.cable, test.connA, test.connB, umFromM(test.lengthM), 'tip_to_tip'),
    ...{ minusM: 0, plusM: 0, toMhz: null, tempC: test.tempC },
  }
}

/** Any lead, tip to tip. */
export function specOfParts(
  parts: Parts,
  of: { cable: string; connA: string; connB: string; lengthUm: LengthUm },
): LeadSpec {
  return {
    ...measures(parts, of.cable, of.connA, of.connB, of.lengthUm, 'tip_to_tip'),
    ...{ minusM: 0, plusM: 0, toMhz: null, tempC: null },
  }
}

function measures(
  { cables, connectors }: Parts,
  cableId: string,
  aId: string,
  bId: string,
  lengthUm: LengthUm,
  definition: OrderLine['lengthDefinition'],
): Pick<LeadSpec, 'cable' | 'a' | 'b' | 'cutM' | 'lengthM'> {
  const cable = cables.find((c) => c.cable === cableId)
  if (!cable) throw new LastmetreError('unknown-id', `There is no cable ${cableId} in cables.csv.`)
  const [a, b] = [aId, bId].map((id) => connectors.find((c) => c.part === id))
  if (!a || !b)
    throw new LastmetreError('unknown-id', `There is no connector ${a ? bId : aId} in connectors.csv.`)
  const cutUm = leadCutUm(lengthUm, definition, a, b)
  const inside = (c: Connector) => (c.tipToCableEndMm - c.tipToRefPlaneMm) * UM_PER_MM
  return { cable, a, b, cutM: mFromUm(cutUm), lengthM: mFromUm(cutUm + inside(a) + inside(b)) }
}
