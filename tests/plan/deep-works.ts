import { type Random, seededRandom } from '../../bench/generate/random.ts'
import type { CableType } from '../../src/cable/cable-type.ts'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import type { Putup } from '../../src/putup/putup.ts'
import { kelderwick } from './kelderwick-input.ts'
import { bulkRow, drumRow, faultRow, leadRow, marksOf } from './rows.ts'

/** One drum whose longest piece fits only behind its faults: what lies outside of them may be worth winding off. */
export function deepWorks(seed: number): PlanInput {
  const random = seededRandom(seed * 104_729 + 5)
  const works = kelderwick()
  const code = random.pick(['C081-50', 'C110-50', 'C142-50'])
  const cable = works.cables.find((c) => c.cable === code)!
  const lines = works.site.lines.slice(1).map((l) => ({ ...l, rateEurH: random.pick([20, 71]) }))
  const windable = works.putups.filter(
    (p) => p.barrelMm >= cable.barrelMinMm && lines[0]!.takeupPutups.includes(p.putup),
  )
  const putups = random
    .shuffled(windable)
    .slice(0, random.whole(2, 3))
    .map((p) => ({ ...p, costEur: random.pick([p.costEur, 0.5]) }))
  const lengthM = random.whole(150, 500)
  const drum = drumRow({ drum: 'D1', cable: code, bookUm: lengthM * 1e6 })
  const first = random.decimal(20, lengthM * 0.35, 1)
  const second = random.decimal(first + 10, lengthM * 0.6, 1)
  const severity = random.pick(['cut_out', 'cut_out', 'note'] as const)
  const faults = [faultRow({ fault: 'F1', drum: 'D1', markFrom: first, markTo: first, severity })]
  if (random.chance(0.7)) faults.push(faultRow({ fault: 'F2', drum: 'D1', markFrom: second, markTo: second }))
  return {
    ...works,
    folder: `deep-${seed}`,
    orders: ordersOf(random, code, lengthM, putups),
    cables: [{ ...cable, minKeepUm: random.pick([0, cable.minKeepUm]) }],
    site: { ...works.site, lines },
    costs: { ...works.costs, spaceEurPerPositionMonth: random.pick([0.2, 3.5]) },
    putups: [...putups, works.putups.find((p) => p.kind === 'process_drum')!],
    drums: [drum],
    marks: [marksOf(drum)],
    faults,
  }
}

function ordersOf(random: Random, cable: string, lengthM: number, putups: Putup[]): OrderLine[] {
  const orders = Array.from({ length: random.whole(1, 3) }, (_, i) => {
    const pieceM = i === 0 ? random.decimal(lengthM * 0.2, lengthM * 0.38, 0) : random.decimal(5, 40, 0)
    return bulkRow({
      order: `O${i}`,
      cable,
      lengthUm: pieceM * 1e6,
      putup: random.pick(putups).putup,
      faultsAllowed: random.pick(['none', 'note'] as const),
      priceEur: 500,
    })
  })
  if (random.chance(0.4)) orders.push(leadRow({ order: 'OL', cable, lengthUm: 5e6 }))
  return orders
}

/** One drum of C069-75 or C081-50 on a line where little work costs little. */
function plainWorks(folder: string, code: string, lengthM: number, putups: string[]): PlanInput {
  const works = kelderwick()
  const cable: CableType = { ...works.cables.find((c) => c.cable === code)!, minKeepUm: 0 }
  const drum = drumRow({ drum: 'D1', cable: code, bookUm: lengthM * 1e6 })
  return {
    ...works,
    folder,
    cables: [cable],
    site: { ...works.site, lines: works.site.lines.slice(1).map((l) => ({ ...l, rateEurH: 20 })) },
    costs: { ...works.costs, spaceEurPerPositionMonth: 0.2 },
    putups: works.putups.filter((p) => putups.includes(p.putup)),
    drums: [drum],
    marks: [marksOf(drum)],
    faults: [],
    orders: [],
  }
}

/** Outside of the fault lies a little more than the cheap put-up holds: best wound off up to that, and the rest scrap. */
export function overfullGap(): PlanInput {
  const plain = plainWorks('overfull-gap', 'C081-50', 400, ['C-280', 'WD-800', 'PR-1250'])
  const lines = plain.site.lines.map((l) => ({
    ...l,
    changeoverMin: { ...l.changeoverMin, sameCableNewPutup: 0 },
  }))
  return {
    ...plain,
    site: { ...plain.site, lines },
    faults: [faultRow({ fault: 'F1', drum: 'D1', markFrom: 58.9, markTo: 58.9 })],
    orders: [bulkRow({ order: 'O1', cable: 'C081-50', lengthUm: 120e6, putup: 'WD-800', priceEur: 500 })],
  }
}

/** What is left is 49.9 m up to the inner end loss and 50.4 m with it. */
export function shortRest(): PlanInput {
  return {
    ...plainWorks('short-rest', 'C069-75', 78, ['C-380', 'PR-1250']),
    orders: [bulkRow({ order: 'O1', cable: 'C069-75', lengthUm: 11e6, qty: 2, putup: 'C-380' })],
  }
}
