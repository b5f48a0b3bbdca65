import type { Connector } from './connector.ts'
import type { SetsAsked } from './set-asked.ts'
import { type NewConnector, newConnector } from './set-connector.ts'
import type { OpenLead } from './set-open-lead.ts'
import type { PoolLead } from './set-pool.ts'
import { rescuedSets, type Trimmable, type TrimTo, trimInto } from './set-rescue.ts'
import { hitProbability, TRIM_SD_MM } from './set-trim.ts'
import { differenceText, type SetSpan, whyLeftOver } from './set-why.ts'

/** A finished lead with its delay or phase. */
export interface PoolMember {
  lead: PoolLead
  value: number
}

/** A trim that brings a lead into use. */
export interface Rescued {
  serial: string
  trimMm: number
  how: 'open end' | 'new connector'
  use: 'new set' | 'spare'
  /** Probability that it ends inside the window, and for a finished lead passes its tests again. */
  chancePct: number
  /** Of a new connector; null for an open end, which gets its connector anyway, and where no bench can fit it. */
  costEur: number | null
  minutes: number | null
}

/** What a new connector on a finished lead would bring. */
interface ConnectorTried extends NewConnector {
  /** How much shorter it must become to fit a set that is whole, mm; null where no set can be reached. */
  trimMm: number | null
  /** Probability that it then fits and passes its tests, per cent. */
  chancePct: number
}

export interface UnusedLead {
  serial: string
  why: string
  /** null for a lead with an open end, which gets its connector anyway. */
  newConnector: ConnectorTried | null
}

/** Leads that may be in one set: fit ones, those that are not and why, and those with an open end. */
export interface LeadPool {
  members: PoolMember[]
  unfit: (PoolMember & { why: string })[]
  open: OpenLead[]
}

interface LeftLead extends Trimmable {
  serial: string
  connector: NewConnector | null
}

interface NumberedSpan {
  number: number
  span: SetSpan
}

/** What trims would bring into use of the leads that are in no set, and why not the others. */
export function rescueLeftOver(
  asked: SetsAsked,
  { members: left, unfit, open }: LeadPool,
  spans: NumberedSpan[],
  mmPerUnit: number,
): { rescued: Rescued[]; sets: string[][]; unused: UnusedLead[] } {
  const leads = [
    ...left.map((member, index) => finishedLead(asked, member, index, mmPerUnit)),
    ...open.map((lead, i) => openLead(asked, lead, left.length + i)),
  ]
  const sets = asked.windowDb === null ? rescuedSets(leads, asked.size, asked.window) : []
  const used = new Set(sets.flatMap(({ members }) => members))
  const toRescued = (trim: TrimTo, use: Rescued['use']) =>
    rescuedOf(leads[trim.index]!, trim, use, mmPerUnit, asked.firstPassRatio)
  const rescued = sets.flatMap(({ trims }) => trims.map((trim) => toRescued(trim, 'new set')))
  const unused = unfit.map(({ why, ...member }) =>
    unusedLead(asked, finishedLead(asked, member, -1, mmPerUnit), why, spans, mmPerUnit),
  )
  for (const lead of leads.filter(({ index }) => !used.has(index))) {
    const spare = lead.finished || asked.windowDb !== null ? null : spareTrim(lead, spans, asked.window)
    if (spare !== null && spare.by > 0) rescued.push(toRescued(spare, 'spare'))
    else {
      const fit = spans.length * asked.size + leads.length
      const why =
        !lead.finished && asked.windowDb !== null
          ? 'its loss is not known while an end is open'
          : whyLeftOver(lead.value, spans, fit, asked.by, asked.window, asked.size)
      unused.push(unusedLead(asked, lead, why, spans, mmPerUnit))
    }
  }
  return { rescued, sets: sets.map(({ members }) => members.map((i) => leads[i]!.serial)), unused }
}

function finishedLead(
  asked: SetsAsked,
  { lead, value }: PoolMember,
  index: number,
  mmPerUnit: number,
): LeftLead {
  const connector = newConnector(lead.test, asked.connectors, asked.benchHall)
  return {
    ...{ index, value, finished: true, serial: lead.test.serial, connector },
    leastTrim: connector.leastTrimMm / mmPerUnit,
  }
}

/** The delay that it will have as it is: half the way there and back, and what lies inside the connector to come. */
function openLead({ by, cable, connectors }: SetsAsked, lead: OpenLead, index: number): LeftLead {
  const to = connectors.find(({ part }) => part === lead.connB)!
  const delayPs = lead.roundTripPs / 2 + insideMm(to) * cable.delayNsM
  const value = by.unit === 'ps' ? delayPs : 360 * by.fMhz * delayPs * 1e-6
  return { index, value, leastTrim: 0, finished: false, serial: lead.serial, connector: null }
}

/** From the cut face to the reference plane; counted at the velocity of the cable, since that of the connector is not recorded. 1 mm · ns/m = 1 ps. */
function insideMm({ tipToCableEndMm, tipToRefPlaneMm }: Connector): number {
  return tipToCableEndMm - tipToRefPlaneMm
}

/** The least trim that makes it fit a set that is whole already. */
function spareTrim(lead: Trimmable, spans: NumberedSpan[], window: number): TrimTo | null {
  const trims = spans
    .map(({ span }) => trimInto(lead, span.to - window, span.from + window))
    .filter((trim) => trim !== null)
  return trims.reduce<TrimTo | null>((least, trim) => (least && least.by <= trim.by ? least : trim), null)
}

function rescuedOf(
  lead: LeftLead,
  trim: TrimTo,
  use: Rescued['use'],
  mmPerUnit: number,
  firstPassRatio: number,
): Rescued {
  const hit = hitProbability(trim.below * mmPerUnit, trim.above * mmPerUnit, TRIM_SD_MM)
  return {
    serial: lead.serial,
    trimMm: trim.by * mmPerUnit,
    how: lead.finished ? 'new connector' : 'open end',
    use,
    chancePct: 100 * hit * (lead.finished ? firstPassRatio : 1),
    costEur: lead.connector?.costEur ?? null,
    minutes: lead.connector?.minutes ?? null,
  }
}

function unusedLead(
  asked: SetsAsked,
  lead: LeftLead,
  why: string,
  spans: NumberedSpan[],
  mmPerUnit: number,
): UnusedLead {
  const { serial, connector } = lead
  if (connector === null || asked.windowDb !== null) return { serial, why, newConnector: null }
  // whatever is wrong with it, it comes out shorter by at least what the old connector takes off
  const off = connector.leastTrimMm / mmPerUnit
  const trim = spareTrim({ ...lead, value: lead.value - off, leastTrim: 0 }, spans, asked.window)
  const cut = trim
    ? rescuedOf(lead, { ...trim, by: trim.by + off }, 'spare', mmPerUnit, asked.firstPassRatio)
    : null
  const least = `at least ${connector.leastTrimMm.toFixed(1)} mm (${differenceText(asked.by, connector.leastTrimMm / mmPerUnit)})`
  const cost = connector.costEur === null ? '' : ` for ${connector.costEur.toFixed(2)} EUR`
  const says = cut
    ? `a new connector${cost} and ${cut.trimMm.toFixed(1)} mm less would make it a spare, ${cut.chancePct.toFixed(0)} % likely`
    : `a new connector${cost} takes off ${least}, which makes it fit no set`
  return {
    serial,
    why: `${why}; ${says}`,
    newConnector: { ...connector, trimMm: cut?.trimMm ?? null, chancePct: cut?.chancePct ?? 0 },
  }
}
