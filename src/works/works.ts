import type { AttenuationPoint } from '../cable/attenuation-point.ts'
import type { LeadTest } from '../lead/lead-test.ts'
import type { MonthBalance } from '../ledger/month-balance.ts'
import type { RunSample } from '../line/run-sample.ts'
import type { PlanInput } from '../plan/plan-input.ts'

/** A whole works folder, checked. */
export interface Works extends PlanInput {
  attenuation: AttenuationPoint[]
  leadTests: LeadTest[]
  lineRun: RunSample[]
  monthLedger: MonthBalance[]
}
