import { sql } from 'kysely'
import { expect, it } from 'vitest'
import type { LedgerEvent } from '../../src/ledger/event.ts'
import { LedgerDesk } from '../../src/server/ledger-desk.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { openWorksDesk } from '../../src/server/works-desk.ts'
import { ledgerHead } from '../../src/store/ledger-state.ts'
import { verifyLedger } from '../../src/store/ledger-verify.ts'
import { onBoth } from '../support/databases.ts'
import { DEMO, demoWith } from '../support/demo.ts'
import { command, cut, drumOf, firstLine, mount } from './books.ts'

onBoth(({ kind, place }) => {
  async function opened() {
    const { db } = await (await place()).open()
    const works = await openWorksDesk(db)
    await works.open(await readWorksFolder(DEMO))
    const desk = new LedgerDesk(db, works)
    const context = { works: works.current().works, today: '', bookedAt: '' }
    return {
      db,
      works,
      desk,
      drums: context.works.drums.length,
      drum: drumOf(context, 200),
      line: firstLine(context),
    }
  }

  it('opens the book at the first record that speaks of stock, not at one of people', async () => {
    const { db, desk, drums, drum } = await opened()
    await desk.book([command('a', { kind: 'sign-in', account: 'anna' })], 'anna')
    expect(await ledgerHead(db)).toMatchObject({ seq: 1, works: null })
    await desk.book([command('b', { kind: 'move-drum', drum, place: 'A9' })], 'anna')
    expect((await ledgerHead(db)).seq).toBe(drums + 2)
    await desk.book([command('c', { kind: 'move-drum', drum, place: 'A8' })], 'anna')
    expect((await ledgerHead(db)).seq).toBe(drums + 3)
  })

  it('answers each call in order, a refused one beside the others, and tells of what is on disk', async () => {
    const { db, desk, drum, line } = await opened()
    const told: LedgerEvent[] = []
    const unlisten = desk.listen((events) => told.push(...events))
    await desk.book([mount('m', drum, line)], 'anna')
    const calls = Array.from({ length: 150 }, (_, n) =>
      desk.book(
        [n % 10 === 9 ? cut(`k${n}`, 'nowhere', line, 1) : cut(`k${n}`, drum, line, 0.5)],
        `p${n % 3}`,
      ),
    )
    const outcomes = (await Promise.all(calls)).flat()
    expect(outcomes.map((o) => ('event' in o ? [o.event.key, o.event.actor] : o.refused.code))).toEqual(
      Array.from({ length: 150 }, (_, n) => (n % 10 === 9 ? 'command-refused' : [`k${n}`, `p${n % 3}`])),
    )
    const seqs = told.map(({ seq }) => seq)
    expect(seqs).toEqual(seqs.map((_, i) => i + 1))
    unlisten()
    await desk.book([cut('last', drum, line, 0.5)], 'anna')
    expect(told).toHaveLength(seqs.length)
    expect(await verifyLedger(db)).toMatchObject({ pieces: 136, problems: [] })
  })

  it('says that the store failed, books nothing then, and goes on once it is well again', async () => {
    const { db, desk, drum } = await opened()
    const move = (n: number) => command(`m${n}`, { kind: 'move-drum', drum, place: `P${n}`.repeat(30) })
    await desk.book([move(0)], 'anna')
    if (kind === 'sqlite') await sql.raw('pragma max_page_count = 1').execute(db)
    else await sql`alter table ledger_head rename to elsewhere`.execute(db)
    let booked = 1
    const failed = await (async () => {
      for (; booked < 2_000; booked++) await desk.book([move(booked)], 'anna')
    })().catch((error: Error) => error)
    if (kind === 'sqlite') await sql.raw('pragma max_page_count = 1073741823').execute(db)
    else await sql`alter table elsewhere rename to ledger_head`.execute(db)
    if (kind === 'sqlite') expect(failed).toMatchObject({ code: 'store-failed' })
    else expect(failed).toBeInstanceOf(Error)
    await desk.book([move(booked)], 'anna')
    expect(await verifyLedger(db)).toMatchObject({ problems: [] })
  })

  it('bounds what may wait', async () => {
    const { desk, drum } = await opened()
    const many = Array.from({ length: 4_999 }, (_, n) =>
      command(`m${n}`, { kind: 'hold-drum', drum, status: 'qc_hold', reason: '' }),
    )
    const first = desk.book(many, 'anna')
    const two = many.slice(0, 2)
    await expect(desk.book(two, 'anna')).rejects.toMatchObject({ code: 'too-many' })
    await first
  })

  it('is of one works: another one is not opened beside it', async () => {
    const { db, works, desk, drum } = await opened()
    await desk.book([command('b', { kind: 'move-drum', drum, place: 'A9' })], 'anna')
    const other = await readWorksFolder(DEMO)
    const lines = JSON.parse(Buffer.from(other.files.get('lines.json') ?? []).toString()) as {
      works: { name: string }
    }
    lines.works.name = 'Another works'
    const folder = await demoWith({ 'lines.json': JSON.stringify(lines) })
    await expect(works.open(await readWorksFolder(folder))).rejects.toMatchObject({
      code: 'ledger-elsewhere',
    })
    expect((await ledgerHead(db)).works).toBe(works.current().works.site.works.name)
  })
})
