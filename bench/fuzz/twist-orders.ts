import type { OrderLine } from '../../src/order/order-line.ts'
import { needUmFromTyped } from '../../src/quantity/length.ts'
import type { Works } from '../../src/works/works.ts'
import type { Random } from '../generate/random.ts'

/** Lengths that are odd, tiny, exactly round in feet, or longer than any stock. */
const TYPED = [
  '0.000001',
  '0.01',
  '0.15',
  '1',
  '7.000001',
  '33.333333',
  '100',
  '100.000001',
  '328.083990',
  '777',
  '99999',
]

/** Order lines with edge lengths, quantities, tolerances, parts, put-ups, lot groups, prices and dates. */
export function twistOrders(random: Random, works: Works): void {
  if (random.chance(0.03)) {
    works.orders = []
    return
  }
  const hard = random.chance(0.3)
  for (const order of works.orders)
    for (let n = 0; n < 3; n++) if (random.chance(hard ? 0.5 : 0.12)) twistOrder(random, works, order)
  if (random.chance(0.3)) groupLines(random, works.orders)
  if (random.chance(0.1)) works.orders.push(...works.orders.map((o) => ({ ...o, order: `${o.order}-2` })))
}

function groupLines(random: Random, orders: OrderLine[]): void {
  const share = random.pick([0.2, 0.6, 1])
  const groups = random.whole(1, 3)
  // a group over two cables is refused, so it is rare
  const mixed = random.chance(0.1)
  for (const order of orders)
    if (random.chance(share))
      order.sameLotGroup = `G${random.whole(1, groups)}${mixed ? '' : `-${order.cable}`}`
}

function twistOrder(random: Random, works: Works, order: OrderLine): void {
  const bulk = order.kind === 'bulk'
  const twists = [
    () => {
      order.unit = random.pick(['m', 'ft'] as const)
      order.lengthTyped = random.pick(TYPED)
      order.lengthUm = needUmFromTyped(order.lengthTyped, order.unit)
    },
    () => {
      order.qty = random.pick([1, 1, 2, 7, 40, 300, bulk ? 300 : 10_000])
    },
    () => twistTolerance(random, order, bulk),
    () => {
      if (bulk) splitInParts(random, order)
    },
    () => {
      if (bulk) order.putup = random.pick([null, null, random.pick(works.putups).putup])
    },
    () => {
      order.faultsAllowed = random.pick(['none', 'note', 'downgrade'] as const)
      order.printRequired = random.chance(0.5)
    },
    () => {
      order.priceEur = random.pick([0, 0.01, 1, 100_000])
    },
    () => {
      order.dueDate = random.pick(['1970-01-01', works.site.works.todayDate, '2031-05-06', '9999-12-31'])
    },
    () => {
      order.market = random.pick(works.markets).market
    },
    () => {
      if (!bulk) order.lengthDefinition = random.pick(['tip_to_tip', 'ref_to_ref'] as const)
    },
  ]
  random.pick(twists)()
}

function twistTolerance(random: Random, order: OrderLine, bulk: boolean): void {
  if (bulk) {
    order.tolMinusPct = random.pick([0, 0.001, 5, 99, 100])
    order.tolPlusPct = random.pick([0, 0.001, 5, 100])
  } else order.tolPlusMm = random.pick([0, 0.001, 10, 5000])
}

function splitInParts(random: Random, order: OrderLine): void {
  order.singleLength = false
  const share = random.pick([0.01, 0.3, 0.5, 0.51, 1])
  order.minPieceUm = Math.max(1, Math.floor(order.lengthUm * share))
  order.maxParts = random.pick([1, 2, 3, 10])
}
