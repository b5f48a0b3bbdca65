import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { lockHead } from '../../src/store/ledger-append.ts'
import { faultAt } from '../floor/hall.ts'
import { DEMO } from '../support/demo.ts'
import { startPostgres, type TestPostgres } from '../support/postgres.ts'
import { relayTo } from '../support/relay.ts'
import { until } from '../support/until.ts'
import { cutOne, eventsOf, printer, withPrinter } from './label-hall.ts'
import { twoServers } from './shared-server.ts'

const LONG = 240_000

let postgres: TestPostgres | undefined
beforeAll(async () => {
  postgres = await startPostgres()
})
afterAll(() => postgres?.stop())

/** Server a, on duty, behind a relay, and b beside it. */
async function two(folder: string) {
  const url = (await postgres?.fresh()) ?? ''
  const relay = await relayTo(url)
  return { relay, ...(await twoServers(folder, relay.url, url)) }
}

describe('a server whose network to PostgreSQL goes silent with all connections open', {
  timeout: LONG,
}, () => {
  it('is not on duty any more: another prints and repairs, and what it had in hand is not done again later', async () => {
    const label = await printer()
    const { relay, a, b, hallA, hallB } = await two(await withPrinter(label.port))
    const waiting = await cutOne(hallA)
    await until(
      () => hallA.view('RW-1'),
      (view) => /LP-9: .+, 1 wait/.test(view.printer ?? ''),
    )
    const { mounted, cuts } = await hallA.view('RW-1')
    const atUm = cuts[0]!.takenUm + 10_000_000
    const fault = await hallA.book(faultAt(mounted!.drum, atUm))
    // it has the repair of this in hand, and the label
    relay.silence()
    await until(
      () => hallB.view('RW-1'),
      ({ repair }) => repair.because === fault.seq && repair.state === 'done',
    )
    await label.turnOn()
    const printed = async () =>
      (await eventsOf(b.db, 'label-printed')).map(({ body }) => 'serial' in body && body.serial)
    await until(printed, (serials) => serials.length === 1)
    const next = await cutOne(hallB)
    await until(printed, (serials) => serials.length === 2)
    const plans = () => b.db.selectFrom('plan').select('id').execute()
    const planned = await plans()

    relay.speak()
    await until(
      async () => a.app.ledger.toldSeq,
      (seq) => seq >= b.app.ledger.toldSeq,
    )
    const last = await cutOne(hallA)
    await until(printed, (serials) => serials.length === 3)
    await a.app.repairs.settled()
    expect(await printed()).toEqual([waiting, next, last])
    expect(label.got).toHaveLength(3)
    expect((await hallA.view('RW-1')).doubts).toEqual([])
    expect(await eventsOf(b.db, 'plan-released')).toHaveLength(2)
    expect(await plans()).toEqual(planned)
    expect(planned).toHaveLength(2)
  })

  it('is stopped by the database where it still believes that it is on duty', async () => {
    const label = await printer()
    await label.turnOn()
    const { a, b, hallA, hallB } = await two(await withPrinter(label.port))
    Object.defineProperty(b.sharing, 'onDuty', { get: () => true })
    const serials = [await cutOne(hallB), await cutOne(hallA)]
    const { mounted, cuts } = await hallB.view('RW-1')
    const atUm = cuts[0]!.takenUm + 10_000_000
    const fault = await hallB.book(faultAt(mounted!.drum, atUm))
    await until(
      () => hallA.view('RW-1'),
      ({ repair }) => repair.because === fault.seq && repair.state === 'done',
    )
    await until(
      () => eventsOf(a.db, 'label-printed'),
      (labels) => labels.length === serials.length,
    )
    for (const { app } of [a, b]) await app.repairs.settled()
    expect(label.got).toHaveLength(2)
    expect((await hallB.view('RW-1')).doubts).toEqual([])
    expect(await eventsOf(a.db, 'plan-released')).toHaveLength(2)
    expect(await a.db.selectFrom('plan').select('id').execute()).toHaveLength(2)
  })

  it('does not keep the others from booking by what it had locked', async () => {
    const { relay, a, hallB } = await two(DEMO)
    const { nextDrum } = await hallB.view('RW-1')
    const broken = a.db.transaction().execute(async (trx) => {
      await lockHead(trx)
      relay.silence()
      // booked at the other one while this one holds the head of the ledger
      await hallB.book({ kind: 'move-drum', drum: nextDrum!.drum, place: 'P-7' })
      relay.speak()
      await lockHead(trx)
    })
    await expect(broken).rejects.toThrow()
  })
})
