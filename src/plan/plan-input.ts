import type { CableType } from '../cable/cable-type.ts'
import type { BenchHall } from '../hall/bench.ts'
import type { Costs } from '../hall/costs.ts'
import type { Market } from '../hall/market.ts'
import type { WorksSite } from '../hall/works-site.ts'
import type { Connector } from '../lead/connector.ts'
import type { CounterCheck } from '../measure/counter-check.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { Putup } from '../putup/putup.ts'
import type { Drum } from '../strip/drum.ts'
import type { Fault } from '../strip/fault.ts'
import type { MarkSegment } from '../strip/mark-segment.ts'

/** Everything of a works that planning looks at: checked by `works` and frozen. Rows stand in file order. */
export interface PlanInput {
  /** Name of the works folder. */
  folder: string
  site: WorksSite
  benchHall: BenchHall
  markets: Market[]
  costs: Costs
  cables: CableType[]
  connectors: Connector[]
  putups: Putup[]
  drums: Drum[]
  marks: MarkSegment[]
  faults: Fault[]
  orders: OrderLine[]
  counterChecks: CounterCheck[]
}
