import type { CableType } from '../../src/cable/cable-type.ts'
import type { RewindingLine } from '../../src/hall/rewinding-line.ts'
import type { WorksSite } from '../../src/hall/works-site.ts'
import type { OrderLine } from '../../src/order/order-line.ts'
import { putupCapacityM } from '../../src/putup/capacity.ts'
import type { Putup } from '../../src/putup/putup.ts'
import { needUmFromTyped } from '../../src/quantity/length.ts'
import { MARKETS } from './hall.ts'
import type { Random } from './random.ts'
import { daysBefore } from './stock.ts'

/** One place in the hidden cutting: what makes the order line servable. */
export interface HiddenCut {
  drum: string
  fromUm: number
  toUm: number
  /** null for leads. */
  putup: string | null
  /** Leads in this length; 1 for bulk. */
  count: number
  declaredUm: number
}

/** An order line in the making: its quantity is what the hidden cutting finds room for. */
export interface Draft {
  line: OrderLine
  wanted: number
  cuts: HiddenCut[]
  /** Shared by all lines of a same-lot group; the lot is settled by the first cut. */
  group: { name: string; lot: string | null } | null
}

export interface DraftContext {
  random: Random
  cable: CableType
  site: WorksSite
  putups: Putup[]
  today: string
}

const SHORT = {
  m: ['3.5', '5', '6', '10', '12', '17.5', '20', '22', '25', '33', '37.5', '40', '45', '58', '61'],
  ft: ['8', '25', '33', '45', '50', '75', '100', '150'],
}
const LONG = {
  m: ['100', '150', '185', '200', '250', '300', '305', '330', '400', '425', '500', '600', '750'],
  ft: ['250', '328', '500', '650', '1000'],
}
const LEADS = {
  m: ['0.15', '0.3', '0.5', '0.75', '1', '1.5', '2', '3', '5', '7.5', '10', '15'],
  ft: ['1', '1.5', '3', '4', '6', '15', '25'],
}

const CUSTOMERS = {
  web: ['W-01 web shop', 'W-02 web shop', 'W-03 web shop'],
  dealer: ['D-51 Quenthorpe Aerials', 'D-52 Ullsmere Two-Way', 'D-53 Brakkenhus Funk', 'D-54 Ivelstow Radio'],
  export: ['X-71 Torvandor Telecom', 'X-72 Selquist Marine', 'X-73 Amberholt Rail'],
}

export function makeDrafts(context: DraftContext, count: number): Draft[] {
  const { random } = context
  const drafts: Draft[] = []
  for (let i = 0; i < count; i++) {
    const roll = random.next()
    if (roll < 0.3) drafts.push(leadDraft(context))
    else drafts.push(bulkDraft(context, roll < 0.62 ? 'long' : 'short'))
  }
  groupSome(context, drafts)
  return drafts
}

export function linesFor(site: WorksSite, cable: CableType): RewindingLine[] {
  return site.lines.filter((l) => cable.odMm >= l.odMinMm && cable.odMm <= l.odMaxMm)
}

/** Put-ups that take this much of the cable for this market, cheapest first. */
export function fittingPutups(
  { site, putups, cable }: Pick<DraftContext, 'site' | 'putups' | 'cable'>,
  lengthM: number,
  market: string,
): Putup[] {
  const marked = MARKETS.find((m) => m.market === market)?.woodRule === 'ispm15'
  return putups
    .filter(
      (p) =>
        p.kind !== 'process_drum' &&
        p.barrelMm >= cable.barrelMinMm &&
        putupCapacityM(p, cable, site.putupRules) >= lengthM &&
        // guard and trim are wound on as well
        ((lengthM * 1.001 + 0.35) * cable.massKgKm) / 1000 <= p.payloadKg &&
        !(marked && p.woodMark === 'unmarked') &&
        linesFor(site, cable).some((l) => l.takeupPutups.includes(p.putup)),
    )
    .sort((a, b) => a.costEur - b.costEur)
}

function emptyLine({ random, cable, today }: DraftContext): OrderLine {
  const market = random.pick(MARKETS)
  const channel = random.pick(['web', 'dealer', 'dealer', 'export'] as const)
  return {
    order: '',
    line: 1,
    market: market.market,
    customer: random.pick(CUSTOMERS[channel]),
    channel,
    kind: 'bulk',
    cable: cable.cable,
    qty: 0,
    lengthTyped: '',
    lengthUm: 0,
    unit: market.orderUnit,
    tolMinusPct: 0,
    tolPlusPct: random.pick([0, 1, 1, 2, 5]),
    tolMinusMm: null,
    tolPlusMm: null,
    singleLength: true,
    minPieceUm: null,
    maxParts: null,
    sameLotGroup: null,
    faultsAllowed: random.pick([
      'none',
      'none',
      'none',
      'none',
      'none',
      'none',
      'note',
      'downgrade',
    ] as const),
    printRequired: random.chance(0.7),
    putup: null,
    connA: null,
    connB: null,
    lengthDefinition: 'jacket',
    matchedSet: null,
    matchKind: null,
    matchFMhz: null,
    matchPhaseTolDeg: null,
    matchDelayNs: null,
    matchDelayTolPs: null,
    fTestMhz: null,
    dueDate: daysBefore(today, -random.whole(1, 24)),
    priceEur: 0,
    note: null,
  }
}

function setLength(line: OrderLine, typed: string): void {
  line.lengthTyped = typed
  line.lengthUm = needUmFromTyped(typed, line.unit)
}

function bulkDraft(context: DraftContext, size: 'long' | 'short'): Draft {
  const { random } = context
  const line = emptyLine(context)
  const lengths = (size === 'long' ? LONG : SHORT)[line.unit]
  // thick cable does not fit a put-up in any length: the next shorter one is ordered
  let at = random.whole(0, lengths.length - 1)
  const putupsAt = () =>
    fittingPutups(context, Number(lengths[at]) * (line.unit === 'ft' ? 0.3048 : 1), line.market)
  while (at > 0 && putupsAt().length === 0) at--
  setLength(line, lengths[at]!)
  const putups = putupsAt()
  if (!random.chance(0.1))
    line.putup = (random.chance(0.7) ? putups[0]! : random.pick(putups.slice(0, 3))).putup
  if (random.chance(0.08)) line.tolMinusPct = random.pick([1, 2, 5])
  if (size === 'long' && line.lengthUm > 250e6 && random.chance(0.15)) {
    line.singleLength = false
    line.minPieceUm = random.pick([60e6, 100e6])
    line.maxParts = random.whole(2, 4)
    return { line, wanted: 1, cuts: [], group: null }
  }
  const prepacked = size === 'short' && line.channel !== 'web'
  const wanted = prepacked ? random.pick([2, 4, 10, 20, 30]) : random.pick([1, 1, 1, 2, 3, 4])
  return { line, wanted, cuts: [], group: null }
}

function leadDraft(context: DraftContext): Draft {
  const { random, cable } = context
  const line = emptyLine(context)
  line.kind = 'lead'
  setLength(line, random.pick(LEADS[line.unit]))
  line.tolMinusPct = null
  line.tolPlusPct = null
  line.tolMinusMm = 0
  // plus tolerance of a lead grows with its length: harness workmanship practice (TRADE: 5 % above some metres)
  line.tolPlusMm = Math.max(10, Math.round((line.lengthUm / 1000) * 0.02))
  line.connA = `${random.pick(['N', 'B'])}-${cable.cable}`
  line.connB = `${random.pick(['N', 'B'])}-${cable.cable}`
  line.lengthDefinition = random.pick(['tip_to_tip', 'tip_to_tip', 'ref_to_ref'] as const)
  line.fTestMhz = 4000
  line.printRequired = false
  return { line, wanted: random.pick([1, 2, 4, 5, 10, 20, 25, 50]), cuts: [], group: null }
}

/** About one line in twelve is in a same-lot group, alone or with a second line; leads may be a matched set too. */
function groupSome({ random, cable }: DraftContext, drafts: Draft[]): void {
  const groups = Math.max(1, Math.round(drafts.length / 16))
  const free = random.shuffled(drafts.filter((d) => d.line.singleLength))
  for (let g = 0; g < groups; g++) {
    const group = { name: `LG-${cable.cable}-${g + 1}`, lot: null }
    for (const draft of free.splice(0, random.whole(1, 2))) {
      draft.group = group
      draft.line.sameLotGroup = group.name
      draft.wanted = Math.min(Math.max(2, draft.wanted), 8)
      if (draft.line.kind === 'lead' && random.chance(0.5)) {
        draft.line.matchedSet = `PM-${cable.cable}-${g + 1}`
        draft.line.matchKind = 'phase'
        draft.line.matchFMhz = 2400
        draft.line.matchPhaseTolDeg = 2
      }
    }
  }
}
