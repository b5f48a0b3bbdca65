import { expect, it } from 'vitest'
import { planWorks } from '../../src/solver/plan-works.ts'
import { kelderwick } from './kelderwick-input.ts'
import { planned } from './planned.ts'
import { bulkRow, drumRow, marksOf } from './rows.ts'

const CABLE = 'C081-50'
const BLAMES_STOCK = /does not reach for every order|No lot can give all/
const OWNS_TO_IT = /is not proven/

it('a plan that was stopped before it served all it could does not blame the stock', async () => {
  const works = kelderwick()
  const early = await planWorks(works, {
    seconds: 3600,
    seed: 1,
    nowMs: () => 0,
    stopped: () => true,
    onProgress: () => undefined,
  })
  const most = await planned(works, 3)
  const servedLater = early.unserved.filter(
    (e) => !most.unserved.some((m) => m.order === e.order && m.orderLine === e.orderLine),
  )
  expect(servedLater.length).toBeGreaterThan(0)
  for (const { reason } of servedLater) {
    expect(reason).not.toMatch(BLAMES_STOCK)
    expect(reason).toMatch(OWNS_TO_IT)
  }
})

it('where no plan can serve more, the reason says that the stock does not reach', async () => {
  const drum = drumRow({ drum: 'D1', cable: CABLE, bookUm: 130e6 })
  const orders = ['1', '2', '3'].map((order) =>
    bulkRow({ order, cable: CABLE, lengthUm: 50e6, putup: 'C-380', priceEur: 100 + Number(order) }),
  )
  const plan = await planned(
    { ...kelderwick(), drums: [drum], marks: [marksOf(drum)], faults: [], orders },
    1,
  )
  // the cheapest of three alike, where two have room
  expect(plan.unserved.map((u) => u.order)).toEqual(['1'])
  expect(plan.bound.unservedMicro).toBe(plan.unservedMicro)
  expect(plan.unserved[0]?.reason).toMatch(BLAMES_STOCK)
})
