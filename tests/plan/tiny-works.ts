import { type Random, seededRandom } from '../../bench/generate/random.ts'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import type { Putup } from '../../src/putup/putup.ts'
import type { Drum } from '../../src/strip/drum.ts'
import type { Fault } from '../../src/strip/fault.ts'
import { kelderwick } from './kelderwick-input.ts'
import { bulkRow, drumRow, faultRow, leadRow, marksOf } from './rows.ts'

const CABLES = ['C059-50', 'C069-75', 'C081-50', 'C110-50']
const MOST_PIECES = 5

/**
 * A works so small that all its plans can be tried: one cable of the demo works, one or two drums with faults, one to five
 * pieces; sometimes a remnant for the bench, faults that some lines allow, tolerances, a lot group, a piece in parts.
 */
export function tinyWorks(seed: number): PlanInput {
  const random = seededRandom(seed * 7919)
  const works = kelderwick()
  const code = random.pick(CABLES)
  const cable = works.cables.find((c) => c.cable === code)!
  const lines = works.site.lines
    .filter((l) => cable.odMm >= l.odMinMm && cable.odMm <= l.odMaxMm)
    .slice(random.chance(0.7) ? -1 : 0)
    .map((l) => ({ ...l, rateEurH: random.pick([20, l.rateEurH]) }))
  const windable = works.putups.filter(
    (p) => p.barrelMm >= cable.barrelMinMm && lines[0]!.takeupPutups.includes(p.putup),
  )
  const putups = random.shuffled(windable).slice(0, random.whole(1, 3))
  const drums = drumsOf(random, cable.cable)
  const deep = random.chance(0.4)
  return {
    ...works,
    folder: `tiny-${seed}`,
    cables: [{ ...cable, minKeepUm: random.pick([0, cable.minKeepUm, 15e6]) }],
    site: { ...works.site, lines },
    costs: { ...works.costs, spaceEurPerPositionMonth: random.pick([0.2, 3.5]) },
    putups: [...putups, works.putups.find((p) => p.kind === 'process_drum')!],
    drums,
    marks: drums.map(marksOf),
    faults: drums.flatMap((d) => faultsOf(random, d, deep)),
    orders: ordersOf(random, cable.cable, drums, putups, deep),
  }
}

function drumsOf(random: Random, cable: string): Drum[] {
  return Array.from({ length: random.whole(1, 2) }, (_, i) => {
    const lot = random.pick(['L1', 'L2'])
    const endCaps = random.pick(['both', 'both', 'outer_missing', 'none'] as const)
    if (i > 0 && random.chance(0.5)) {
      const bookUm = random.whole(80, 700) * 100_000
      return drumRow({
        drum: 'R2',
        cable,
        lot,
        bookUm,
        endCaps,
        kind: 'remnant',
        putup: 'C-380',
        grossKg: 20,
      })
    }
    return drumRow({ drum: `D${i + 1}`, cable, lot, endCaps, bookUm: random.whole(600, 5000) * 100_000 })
  })
}

/** `deep`: the good length lies behind faults, so that what is outside of it is worth winding off. */
function faultsOf(random: Random, drum: Drum, deep: boolean): Fault[] {
  return Array.from({ length: random.whole(deep ? 1 : 0, 2) }, (_, i) => {
    const markFrom = random.decimal(0, (drum.bookUm / 1e6 - 1) * (deep ? 0.5 : 1), 1)
    return faultRow({
      fault: `F-${drum.drum}-${i}`,
      drum: drum.drum,
      markFrom,
      markTo: markFrom + random.pick([0, 0.5]),
      severity: random.pick(['cut_out', 'cut_out', 'downgrade', 'note'] as const),
      code: random.pick(['SPK', 'PRT'] as const),
      posUncUm: random.pick([300_000, 1_200_000]),
    })
  })
}

function ordersOf(random: Random, cable: string, drums: Drum[], putups: Putup[], deep: boolean): OrderLine[] {
  const orders: OrderLine[] = []
  const longestM = Math.max(...drums.map((d) => d.bookUm)) / 1e6
  let left = random.whole(1, MOST_PIECES)
  const grouped = random.chance(0.25)
  let parts = random.chance(0.2)
  while (left > 0) {
    const qty = random.whole(1, Math.min(left, 2))
    left -= qty
    const lead = random.chance(deep ? 0.1 : 0.25)
    const leastM = deep && orders.length === 0 ? longestM * 0.3 : 10
    const lengthM = lead ? random.decimal(1, 15, 2) : random.decimal(leastM, longestM * 0.6, 0)
    const base = {
      order: `O${orders.length + 1}`,
      cable,
      qty,
      lengthUm: Math.round(lengthM * 1e6),
      market: random.pick(['UK', 'US']),
      faultsAllowed: random.pick(['none', 'none', 'note', 'downgrade'] as const),
      printRequired: random.chance(0.7),
      sameLotGroup: grouped && random.chance(0.6) ? 'G1' : null,
      dueDate: random.pick(['2031-02-20', '2031-03-03', '2031-03-05', '2031-04-01']),
      priceEur: random.whole(1, Math.ceil(lengthM * 3)) * qty,
    }
    const putup = random.chance(0.75) ? random.pick(putups).putup : null
    if (lead) orders.push(leadRow(base))
    else if (parts && qty === 1) {
      parts = false
      const minPieceUm = Math.round(lengthM * 0.3) * 1e6
      orders.push(bulkRow({ ...base, putup, singleLength: false, minPieceUm, maxParts: random.whole(2, 3) }))
    } else
      orders.push(
        bulkRow({ ...base, putup, tolMinusPct: random.pick([0, 0, 3, 10]), tolPlusPct: random.pick([0, 2]) }),
      )
  }
  return orders
}
