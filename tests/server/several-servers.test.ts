import pg from 'pg'
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest'
import type { LedgerEvent } from '../../src/ledger/event.ts'
import type { App } from '../../src/server/app.ts'
import type { FloorNews, FloorView } from '../../src/works/floor-api.ts'
import { faultAt, Hall, storePlan } from '../floor/hall.ts'
import { demoWith } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { startPostgres, type TestPostgres } from '../support/postgres.ts'
import { until, untilFound } from '../support/until.ts'
import { cutOne, eventsOf, printer, withPrinter } from './label-hall.ts'
import { openServer, servedProcess, twoServers } from './shared-server.ts'

const LONG = 240_000

let postgres: TestPostgres | undefined
beforeAll(async () => {
  postgres = await startPostgres()
})
afterAll(() => postgres?.stop())

/** Two servers on one database, the first on duty, with the demo and a plan in force. */
async function two(folder: string) {
  const url = (await postgres?.fresh()) ?? ''
  return { url, ...(await twoServers(folder, url, url)) }
}

/** What a screen is told, as it comes. */
async function stream(app: App): Promise<FloorNews[]> {
  const address = await app.http.listen({ host: '127.0.0.1', port: 0 })
  const leave = new AbortController()
  onTestFinished(() => leave.abort())
  const answer = await fetch(`${address}/api/floor/events`, { signal: leave.signal })
  const news: FloorNews[] = []
  const read = async () => {
    let text = ''
    for await (const chunk of answer.body!.pipeThrough(new TextDecoderStream())) {
      const parts = (text + chunk).split('\n\n')
      text = parts.pop() ?? ''
      for (const part of parts) if (part.startsWith('data: ')) news.push(JSON.parse(part.slice(6)))
    }
  }
  void read().catch(() => undefined)
  await untilFound(() => news[0])
  return news
}

describe('several servers on one PostgreSQL', { timeout: LONG }, () => {
  it('each knows what any of them booked, and its screens are told', async () => {
    const { a, b, hallA, hallB } = await two(await demoWith({}))
    const [onA, onB] = [await stream(a.app), await stream(b.app)]
    const { nextDrum } = await hallA.view('RW-1')
    const mounted = await hallA.book({
      ...{ kind: 'mount-drum', drum: nextDrum!.drum, line: 'RW-1', mounting: nextDrum!.mounting },
    })
    await untilFound(() => onB.find(({ seq }) => seq >= mounted.seq))
    expect((await hallB.view('RW-1')).mounted).toMatchObject({ drum: nextDrum!.drum })
    // and the other way round, a cut upon a cut
    const [first] = (await hallB.view('RW-1')).cuts
    const cut = await hallB.book(first!.asShown)
    await untilFound(() => onA.find(({ seq }) => seq >= cut.seq))
    const [viewA, viewB] = [await hallA.view('RW-1'), await hallB.view('RW-1')]
    expect(viewA).toEqual(viewB)
    expect(viewA.seq).toBe(cut.seq)
  })

  it('tells of every event once and in order, though both book at the same time', async () => {
    const { a, b, hallA, hallB } = await two(await demoWith({}))
    const told = [a, b].map(({ app }) => {
      const events: LedgerEvent[] = []
      app.ledger.listen((fresh) => events.push(...fresh))
      return events
    })
    const drums = (await hallA.view('RW-1')).nextDrum!.drum
    const move = (hall: Hall, n: number) => hall.book({ kind: 'move-drum', drum: drums, place: `P${n}` })
    await Promise.all(Array.from({ length: 80 }, (_, n) => move(n % 2 === 0 ? hallA : hallB, n)))
    for (const events of told) {
      await until(
        async () => events.length,
        (count) => count >= 80,
      )
      const first = events[0]!.seq
      expect(events.map(({ seq }) => seq)).toEqual(Array.from({ length: 80 }, (_, n) => first + n))
    }
    expect(told[0]!.map(({ hash }) => hash)).toEqual(told[1]!.map(({ hash }) => hash))
  })

  it('a fault is repaired for once, whichever of them booked it, and all show it', async () => {
    const { a, hallA, hallB } = await two(await demoWith({}))
    const { nextDrum } = await hallB.view('RW-1')
    const drum = nextDrum!.drum
    await hallB.book({ kind: 'mount-drum', drum, line: 'RW-1', mounting: nextDrum!.mounting })
    await hallB.book((await hallB.view('RW-1')).cuts[0]!.asShown)
    const [cut] = (await hallB.view('RW-1')).cuts
    const atUm = cut!.takenUm + 10_000_000
    const fault = await hallB.book(faultAt(drum, atUm))
    const done = ({ repair }: FloorView) => repair.because === fault.seq && repair.state === 'done'
    for (const hall of [hallA, hallB]) await until(() => hall.view('RW-1'), done)
    expect((await hallB.view('RW-1')).repair.changes.length).toBeGreaterThan(0)
    expect((await hallB.view('RW-1')).plan).toMatchObject({ cause: 'repaired' })
    await a.app.repairs.settled()
    expect(await eventsOf(a.db, 'plan-released')).toHaveLength(2)
  })

  it('the works that one opens or changes is the works of all, and no change is lost', async () => {
    const { a, b } = await two(await demoWith({}))
    const orders = a.app.works.current().files.get('orders.csv')!
    const [head, ...rows] = Buffer.from(orders).toString('utf8').trimEnd().split(/\r?\n/)
    const without = (n: number) => Buffer.from(`${[head, ...rows.slice(0, -n)].join('\n')}\n`)
    const changes = await Promise.allSettled([
      a.app.works.changeOrders(without(1)),
      b.app.works.changeOrders(without(2)),
    ])
    const refused = changes.filter((change) => change.status === 'rejected')
    expect(refused.map(({ reason }) => (reason as { code: string }).code)).toEqual(['figures-stale'])
    await until(
      async () => [a, b].map(({ app }) => app.works.current().row.version),
      (versions) => versions.every((version) => version === 2),
    )
    const [onA, onB] = [a, b].map(({ app }) => app.works.current().files.get('orders.csv')!)
    expect(Buffer.compare(onA!, onB!)).toBe(0)
  })

  it('prints the label of a cut once, whichever of them booked it', async () => {
    const label = await printer()
    await label.turnOn()
    const { a, hallA, hallB } = await two(await withPrinter(label.port))
    const serials = [await cutOne(hallB), await cutOne(hallA), await cutOne(hallB)]
    const labels = await until(
      () => eventsOf(a.db, 'label-printed'),
      (found) => found.length >= serials.length,
    )
    expect(labels.map(({ body }) => 'serial' in body && body.serial)).toEqual(serials)
    expect(label.got).toHaveLength(serials.length)
  })

  it('another goes on where the one on duty is killed between booking and printing', async () => {
    const label = await printer()
    const url = (await postgres?.fresh()) ?? ''
    const folder = await withPrinter(label.port)
    const data = await emptyFolder()
    const { child, ended, address } = await servedProcess([folder, '--data', data], url)
    const b = await openServer(url)
    const hallB = new Hall(b.app, await storePlan(b.db), 'b')
    await hallB.release()
    const { nextDrum } = await hallB.view('RW-1')
    await hallB.book({
      ...{ kind: 'mount-drum', drum: nextDrum!.drum, line: 'RW-1', mounting: nextDrum!.mounting },
    })
    // booked on the one that will die
    let serial: string | undefined
    while (serial === undefined) {
      const command = hallB.command((await hallB.view('RW-1')).cuts[0]!.asShown)
      const answer = await fetch(`${address}/api/ledger/commands`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({ commands: [command], late: false }),
      })
      const { outcomes } = (await answer.json()) as { outcomes: { event: LedgerEvent }[] }
      const body = outcomes[0]!.event.body
      if (body.kind === 'pieces-cut') serial = body.pieces[0]!.serial
    }
    // its screens elsewhere say that the printer fails
    await until(
      () => hallB.view('RW-1'),
      (view) => /LP-9: .+, \d+ wait/.test(view.printer ?? ''),
    )
    // it stands still, still on duty, while a fault comes
    child.kill('SIGSTOP')
    const [running] = (await hallB.view('RW-1')).cuts
    const fault = await hallB.book(faultAt(nextDrum!.drum, running!.takenUm + 10_000_000))
    child.kill('SIGKILL')
    await ended
    expect(await eventsOf(b.db, 'label-printed')).toEqual([])
    await label.turnOn()
    const labels = await until(
      () => eventsOf(b.db, 'label-printed'),
      (found) => found.length > 0,
    )
    expect(labels.map(({ body }) => 'serial' in body && body.serial)).toEqual([serial])
    const { plan } = await until(
      () => hallB.view('RW-1'),
      ({ repair }) => repair.because === fault.seq && repair.state === 'done',
    )
    expect(plan).toMatchObject({ cause: 'repaired' })
    expect(await eventsOf(b.db, 'plan-released')).toHaveLength(2)
    // the next one comes after it, and nothing twice
    const next = await cutOne(hallB)
    await until(
      () => eventsOf(b.db, 'label-printed'),
      (found) => found.some(({ body }) => 'serial' in body && body.serial === next),
    )
    expect(label.got).toHaveLength(2)
  })

  it('hears again after all connections were cut, misses nothing of what came meanwhile, and one is on duty', async () => {
    const label = await printer()
    await label.turnOn()
    const { url, a, b, hallA, hallB } = await two(await withPrinter(label.port))
    const client = new pg.Client(url)
    await client.connect()
    onTestFinished(() => client.end())
    const cutOff = () =>
      client.query(
        `select pg_terminate_backend(pid) from pg_stat_activity
         where datname = current_database() and pid <> pg_backend_pid()`,
      )
    await cutOff()
    const booked = () => cutOne(hallA).catch(() => undefined)
    const serial = await untilFound(booked)
    await until(
      async () => [a, b].map(({ app }) => app.ledger.toldSeq),
      ([onA, onB]) => onA === onB,
    )
    expect((await hallB.view('RW-1')).seq).toBe((await hallA.view('RW-1')).seq)
    const labels = await until(
      () => eventsOf(a.db, 'label-printed'),
      (found) => found.length > 0,
    )
    expect(labels.map(({ body }) => 'serial' in body && body.serial)).toEqual([serial])
    expect(label.got).toHaveLength(1)
  })
})
