import type { AttenuationPoint } from '../cable/attenuation-point.ts'
import type { CableType } from '../cable/cable-type.ts'
import type { BenchHall } from '../hall/bench.ts'
import type { Costs } from '../hall/costs.ts'
import type { WorksSite } from '../hall/works-site.ts'
import type { OrderLine } from '../order/order-line.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { chainOf } from './chain.ts'
import type { Connector } from './connector.ts'
import { type CutFigures, cutFigures } from './cut-figures.ts'
import { INSTRUMENT, type InstrumentUncertainty } from './guard.ts'
import { type JobLimits, jobLimits } from './job-limits.ts'
import type { BenchRecords } from './job-records.ts'
import { type FailedLead, failedLead } from './job-scrap.ts'
import { type FailureRate, failureRate, startFor } from './job-start.ts'
import { type KitNeed, kitList } from './kit.ts'
import { specOfOrder } from './lead-spec.ts'
import type { LeadTest } from './lead-test.ts'
import { failedTest } from './set-pool.ts'
import { type BenchStep, stepList } from './step-list.ts'
import { type StripDimensions, stripDimensions } from './strip-dimensions.ts'
import { type ToolNeed, toolList } from './tool-list.ts'

/** What a works holds of its leads. */
export interface LeadWorks {
  cables: CableType[]
  connectors: Connector[]
  attenuation: AttenuationPoint[]
  orders: OrderLine[]
  leadTests: LeadTest[]
  benchHall: BenchHall
  costs: Costs
  site: WorksSite
}

/** All that the bench needs for one line of leads. */
export interface JobSheet {
  line: OrderLine
  cable: CableType
  a: Connector
  b: Connector
  cut: CutFigures
  stripA: StripDimensions
  stripB: StripDimensions
  start: { start: number; probability: number; rate: FailureRate }
  kit: KitNeed[]
  tools: ToolNeed[]
  steps: BenchStep[]
  minutes: number
  limits: JobLimits
  ifOneFails: FailedLead
}

export function jobSheet(
  works: LeadWorks,
  records: BenchRecords,
  line: OrderLine,
  instrument: InstrumentUncertainty = INSTRUMENT,
): JobSheet {
  const spec = specOfOrder(works, line)
  if (!spec) throw new LastmetreError('figure-refused', `Order line ${line.order}/${line.line} is no lead.`)
  const { cable, a, b } = spec
  const { attenuation, benchHall: hall, costs, connectors, orders } = works
  const chain = chainOf({ cable, attenuation, lengthM: spec.cutM, tempC: 20, a, b })
  const cut = cutFigures(line, a, b, records.finishedLeads ?? [])
  const [stripA, stripB] = [stripDimensions(cable, a), stripDimensions(cable, b)]
  const start = startOfLine(works, line)
  const steps = stepList({
    line,
    a,
    b,
    cut,
    stripA,
    stripB,
    start: start.start,
    hall,
    times: records.benchTimes,
  })
  return {
    ...{ line, cable, a, b, cut, stripA, stripB, start, steps },
    kit: kitList(line, {
      ...{ orders, parts: records.kitParts ?? [], stock: records.kitStock },
      startOf: (other) => startOfLine(works, other).start,
    }),
    tools: toolList([a, b], records.tools, works.site.works.todayDate),
    minutes: steps.reduce((sum, step) => sum + step.minutes, 0),
    limits: jobLimits(line, chain, spec.lengthM, cut.tolerance, instrument),
    ifOneFails: failedLead(line, cut.cutLengthMm, { cable, a, b, connectors, orders, costs }),
  }
}

/** How many leads of a line to start so that all ordered ones are good with 95 %. */
function startOfLine(works: LeadWorks, line: OrderLine): JobSheet['start'] {
  const { cable, connA, connB, qty } = line
  const of = { cable, connA: connA ?? '', connB: connB ?? '' }
  const rate = failureRate(works.leadTests, of, (test) => failedTest(works, test) !== null)
  return { ...startFor(qty, rate), rate }
}
