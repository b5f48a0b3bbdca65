import type { AttenuationPoint } from '../cable/attenuation-point.ts'
import type { CableType } from '../cable/cable-type.ts'
import type { BenchHall } from '../hall/bench.ts'
import type { Connector } from './connector.ts'
import type { LeadTest } from './lead-test.ts'
import type { OpenLead } from './set-open-lead.ts'
import type { MatchBy } from './set-trim.ts'

export interface SetsAsked {
  cables: CableType[]
  connectors: Connector[]
  attenuation: AttenuationPoint[]
  benchHall: BenchHall
  cable: CableType
  /** Finished leads; those of other cables are passed over. */
  tests: LeadTest[]
  /** Leads with an end still open; null where none are recorded. */
  open: OpenLead[] | null
  by: MatchBy
  /** Largest difference of any two in a set. */
  window: number
  /** Largest difference of insertion loss as well, dB; null where it does not matter. */
  windowDb: number | null
  size: number
  /** Share of leads that pass their tests. */
  firstPassRatio: number
}
