import { type LeadSpec, specOfOrder, specOfParts, specOfTest } from '../lead/lead-spec.ts'
import type { LeadTest } from '../lead/lead-test.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { typedLength } from '../quantity/typed-length.ts'
import type { Works } from './works.ts'

/** A lead named either by the serial of a finished one, or by what it is to be. */
export interface LeadNamed {
  serial: string | null
  /** An order line, `7119/1`, or cable, length tip to tip and connectors, `C059-50,3m,N-C-059,N-C-059`. */
  spec: string | null
}

/** What the lead is to be, and its record where it is a finished one. */
export function leadAsked(
  works: Works,
  { serial, spec }: LeadNamed,
): { spec: LeadSpec; test: LeadTest | null } {
  if (serial !== null && spec !== null)
    throw new LastmetreError(
      'figure-refused',
      'Name the lead either by its serial or by what it is to be, not both.',
    )
  if (serial !== null) {
    const test = works.leadTests.find((t) => t.serial === serial)
    if (!test) throw new LastmetreError('unknown-id', `There is no lead ${serial} in lead_tests.csv.`)
    return { spec: specOfTest(works, test), test }
  }
  if (spec === null)
    throw new LastmetreError('figure-refused', 'Name the lead by its serial, its order line, or its parts.')
  return { spec: specNamed(works, spec), test: null }
}

function specNamed(works: Works, spec: string): LeadSpec {
  const parts = spec.split(',')
  if (parts.length === 4) {
    const [cable, length, connA, connB] = parts.map((part) => part.trim()) as [string, string, string, string]
    const read = typedLength(length)
    if ('wrong' in read) throw new LastmetreError('figure-refused', read.wrong)
    return specOfParts(works, { cable, connA, connB, lengthUm: read.lengthUm })
  }
  const line = works.orders.find((o) => `${o.order}/${o.line}` === spec)
  if (!line) throw new LastmetreError('unknown-id', `There is no order line ${spec} in orders.csv.`)
  const found = specOfOrder(works, line)
  if (!found) throw new LastmetreError('figure-refused', `Order line ${spec} is no lead.`)
  return found
}
