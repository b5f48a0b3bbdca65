import type { BenchHall } from '../hall/bench.ts'
import type { Connector } from './connector.ts'
import type { LeadTest } from './lead-test.ts'
import { benchesFor } from './step-places.ts'
import { TEST_MIN } from './step-times.ts'

/**
 * Jacket that goes with an old connector beyond what it had stripped, mm: the cut lies behind the ferrule or nut, which covers some of it. An
 * estimate of ours.
 */
export const BEHIND_FERRULE_MM = 5

/** A new connector on one end of a finished lead. */
export interface NewConnector {
  part: string
  /** The least that it shortens the lead, mm. */
  leastTrimMm: number
  /** Part, and the minutes of fitting and testing at the bench; null where no bench of the works can do it. */
  costEur: number | null
  minutes: number
}

/** The cheaper end to cut off and fit anew. */
export function newConnector(test: LeadTest, connectors: Connector[], hall: BenchHall): NewConnector {
  const ends = [...new Set([test.connA, test.connB])].map((part) => {
    const connector = connectors.find((c) => c.part === part)!
    const minutes = connector.assemblyMinPerEnd + TEST_MIN
    const bench = benchesFor(hall, connector.method, connector.interface)[0]
    return {
      part,
      leastTrimMm: connector.stripJacketMm + BEHIND_FERRULE_MM,
      costEur: bench ? connector.priceEur + (minutes / 60) * bench.rateEurH : null,
      minutes,
    }
  })
  const cost = (end: NewConnector) => end.costEur ?? Number.POSITIVE_INFINITY
  return ends.reduce((best, end) => (cost(end) < cost(best) ? end : best))
}
