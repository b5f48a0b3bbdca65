import { sql } from 'kysely'
import { describe, expect, it } from 'vitest'
import { appendCommands } from '../../src/store/ledger-append.ts'
import { eventsAfter, ledgerHead, openState } from '../../src/store/ledger-state.ts'
import { verifyLedger } from '../../src/store/ledger-verify.ts'
import { onBoth } from '../support/databases.ts'
import { AT, book, command, cut, demoContext, drumOf, firstLine, mount, openBook } from './books.ts'

onBoth(({ kind, place }) => {
  async function opened() {
    const { open } = await place()
    const store = await open()
    const context = await demoContext()
    await openBook(store.db, context)
    return {
      ...store,
      context,
      line: firstLine(context),
    }
  }

  describe('booking', () => {
    it('books the drums of the folder once, as they lie there', async () => {
      const { db, context } = await opened()
      expect((await ledgerHead(db)).seq).toBe(context.works.drums.length)
      expect(await openBook(db, context)).toEqual([])
      const state = await openState(db)
      expect([...state.drums.rows()].map(({ drum }) => drum).sort()).toEqual(
        context.works.drums.map(({ drum }) => drum).sort(),
      )
      expect(await verifyLedger(db)).toMatchObject({ events: context.works.drums.length, problems: [] })
    })

    it('answers in order, cuts from one drum one after the other, and refuses what the drum does not hold', async () => {
      const { db, context, line } = await opened()
      const drum = drumOf(context, 200)
      const outcomes = await book(
        db,
        context,
        cut('k1', drum, line, 10),
        mount('k2', drum, line),
        cut('k3', drum, line, 10, 12.5),
        cut('k4', drum, line, 1e6),
        cut('k5', drum, line, 20),
      )
      expect(outcomes.map((o) => ('event' in o ? o.event.body.kind : o.refused.code))).toEqual([
        'command-refused',
        'drum-mounted',
        'pieces-cut',
        'command-refused',
        'pieces-cut',
      ])
      const state = await openState(db)
      expect(state.drums.get(drum)?.mountedOn).toBe(line)
      const pieces = [...state.pieces.rows()].sort((a, b) => (a.serial < b.serial ? -1 : 1))
      expect(pieces.map(({ measuredUm }) => measuredUm)).toEqual([10e6, 12.5e6, 20e6])
      expect(await verifyLedger(db)).toMatchObject({ pieces: 3, problems: [] })
      const events = await eventsAfter(db, context.works.drums.length)
      expect(events.map(({ key }) => key)).toEqual(['k2', 'k3', 'k5'])
    })

    it('takes the same key again as the same event, and refuses it for another record', async () => {
      const { db, context, line } = await opened()
      const drum = drumOf(context, 200)
      await book(db, context, mount('k1', drum, line))
      const [first] = await book(db, context, cut('k2', drum, line, 10))
      const again = await appendCommands(
        db,
        [
          { command: cut('k2', drum, line, 10), actor: 'bert' },
          { command: cut('k3', drum, line, 11), actor: 'anna' },
          { command: cut('k3', drum, line, 11), actor: 'anna' },
          { command: cut('k3', drum, line, 11.5), actor: 'anna' },
        ],
        { ...context, bookedAt: '2031-03-04T06:00:00.000Z' },
      )
      expect(again[0]).toEqual({ ...first, repeated: true })
      expect(again.map((o) => ('event' in o ? o.repeated : o.refused.code))).toEqual([
        true,
        false,
        true,
        'key-reused',
      ])
      expect(await verifyLedger(db)).toMatchObject({ pieces: 2, problems: [] })
    })

    it('keeps what was booked when it is opened again, and goes on from there', async () => {
      const { open } = await place()
      const context = await demoContext()
      const first = await open()
      await openBook(first.db, context)
      const head = await ledgerHead(first.db)
      await first.close()
      const second = await open()
      expect(await ledgerHead(second.db)).toEqual(head)
      const drum = drumOf(context, 200)
      const [outcome] = await book(second.db, context, mount('k1', drum, firstLine(context)))
      expect(outcome).toMatchObject({ event: { seq: head.seq + 1, previousHash: head.hash } })
    })

    it('refuses another works, and books nothing where the database fails in between', async () => {
      const { db, context } = await opened()
      const works = {
        ...context.works,
        site: { ...context.works.site, works: { ...context.works.site.works, name: 'Elsewhere' } },
      }
      await expect(openBook(db, { ...context, works })).rejects.toMatchObject({ code: 'ledger-elsewhere' })
      const before = await ledgerHead(db)
      const drum = drumOf(context, 200)
      // A piece of that serial in the way: the last write of the booking fails.
      await sql`drop table movement`.execute(db)
      const line = firstLine(context)
      await expect(
        book(
          db,
          context,
          mount('k1', drum, line),
          command('k2', { kind: 'cut-off', drum, line, lengthUm: 1e6, use: 'scrap', cause: 'end' }),
        ),
      ).rejects.toThrow()
      expect(await ledgerHead(db)).toEqual(before)
      expect(await eventsAfter(db, before.seq)).toEqual([])
    })

    it('takes turns where two book at the same time', async () => {
      const { open, url } = await place()
      const first = await open()
      const context = await demoContext()
      await openBook(first.db, context)
      // A data folder is one process's; a PostgreSQL is shared.
      const second = url === null ? first : await open()
      const line = firstLine(context)
      const drum = drumOf(context, 400)
      await book(first.db, context, mount('k', drum, line))
      const all = await Promise.all(
        Array.from({ length: 20 }, (_, i) =>
          book((i % 2 === 0 ? first : second).db, context, cut(`k${i}`, drum, line, 2)),
        ),
      )
      expect(all.flat().filter((o) => 'event' in o && !o.repeated)).toHaveLength(20)
      expect(await verifyLedger(first.db)).toMatchObject({ pieces: 20, problems: [] })
    })
  })

  describe('verify', () => {
    async function cutOne() {
      const { db, context, line } = await opened()
      const drum = drumOf(context, 200)
      await book(db, context, mount('k1', drum, line), cut('k2', drum, line, 10))
      return { db, drum, problems: async () => (await verifyLedger(db)).problems }
    }

    it.each([
      ['an event that was changed', sql`update ledger_event set actor = 'other' where key = 'k2'`, 'hash'],
      ['an event that is gone', sql`delete from ledger_event where key = 'k1'`, 'is missing'],
      ['the last event that is gone', sql`delete from ledger_event where key = 'k2'`, 'head'],
      ['a row that was changed', sql`update drum set to_um = to_um - 1 where mounted_on is not null`, 'drum'],
      ['a piece that is gone', sql`delete from piece`, 'piece'],
      [
        'a piece too many',
        sql`insert into piece_tool (tool, serial) values ('X', 'Y')`,
        'piece_tool X Y stands',
      ],
      [
        'a movement of another length',
        sql`update movement set um = um + 1 where seq = 3`,
        'movement 3 0 is not',
      ],
      ['a stretch that is gone', sql`delete from stretch where use = 'piece'`, 'stretch'],
      ['another head', sql`update ledger_head set given = '{}'`, 'head'],
    ])('finds %s', async (_, change, word) => {
      const { db, problems } = await cutOne()
      expect(await problems()).toEqual([])
      await change.execute(db)
      expect((await problems()).join('\n')).toContain(word)
    })
  })

  it('keeps whole numbers up to 2^53 and refuses what lies beyond', async () => {
    const { db } = await opened()
    const um = Number.MAX_SAFE_INTEGER
    const row = {
      seq: 1,
      n: 99,
      at: AT,
      cable: 'C',
      lot: 'L',
      strip: 'S',
      line: null,
      actor: 'a',
      what: 'scrap',
      unc_um: 0.5,
      cause: null,
    }
    await db
      .insertInto('movement')
      .values({ ...row, um })
      .execute()
    const read = () => db.selectFrom('movement').select(['um', 'unc_um']).where('n', '=', 99).execute()
    expect(await read()).toEqual([{ um, unc_um: 0.5 }])
    if (kind === 'postgres') {
      await sql`update movement set um = 9007199254740993 where n = 99`.execute(db)
      await expect(read()).rejects.toMatchObject({ code: 'store-failed' })
    }
    const half = db
      .insertInto('movement')
      .values({ ...row, n: 98, um: 1.5 })
      .execute()
    await expect(half).rejects.toThrow()
  })
})
