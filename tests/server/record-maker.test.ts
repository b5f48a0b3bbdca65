import { beforeEach, describe, expect, it } from 'vitest'
import type { Command, CommandBody } from '../../src/ledger/command.ts'
import { pieceHistory } from '../../src/ledger/piece-history.ts'
import { verifyLedger } from '../../src/store/ledger-verify.ts'
import type { AsidesAnswer, CommandOutcome, RecordMaker } from '../../src/works/floor-api.ts'
import { ask, demoApp, signedInAs, signIn } from '../access/harness.ts'

const MINUTE_MS = 60_000
const STOP: CommandBody = { kind: 'stop-line', line: 'RW-1', cause: 'other', minutes: null }
const MOVE: CommandBody = { kind: 'move-drum', drum: 'D001', place: 'A1' }

type Hall = Awaited<ReturnType<typeof demoApp>>

let hall: Hall
/** K-line makes records; K-quality sends them. */
let maker: { cookie: string; pass: string }
let sender: string
let number = 0

beforeEach(async () => {
  hall = await demoApp()
  const cookie = await signedInAs(hall, 'line')
  maker = { cookie, pass: await passOf(cookie) }
  sender = await signedInAs(hall, 'quality')
})

async function passOf(cookie: string): Promise<string> {
  const { body } = await ask(hall, { url: '/api/me' }, cookie)
  return body.pass as string
}

function record(body: CommandBody, beforeMs = 0): Command {
  const at = new Date(Date.now() - beforeMs).toISOString()
  return { key: `K7QM-${++number}-XXXXXXXX`, at, station: 'K7QM', planId: null, corrects: null, body }
}

async function send(
  commands: Command[],
  by: Partial<RecordMaker> | null = null,
  { cookie = sender, late = true } = {},
): Promise<CommandOutcome[]> {
  const named = by && { account: 'K-line', pass: maker.pass, sentAt: new Date().toISOString(), ...by }
  const payload = { commands, late, ...(named ? { maker: named } : {}) }
  const answer = await ask(hall, { method: 'POST', url: '/api/ledger/commands', payload }, cookie)
  expect(answer.status, JSON.stringify(answer.body)).toBe(200)
  return answer.body.outcomes as CommandOutcome[]
}

const bookedBy = (outcomes: CommandOutcome[]) =>
  outcomes.map((o) => ('event' in o ? [o.event.actor, o.event.sentBy ?? null] : o.refused.code))

async function asides() {
  const { body } = await ask(hall, { url: '/api/ledger/asides' }, sender)
  return (body as unknown as AsidesAnswer).asides
}

describe('a record that another sends', () => {
  it('is booked to who made it, with who sent it, though the sender alone might not', async () => {
    await ask(hall, { method: 'POST', url: '/api/sign-out' }, maker.cookie)
    // quality may not stop a line; who made it may
    expect(bookedBy(await send([record(STOP), record(MOVE)], {}))).toEqual([
      ['K-line', 'K-quality'],
      ['K-line', 'K-quality'],
    ])
    expect(bookedBy(await send([record(MOVE)]))).toEqual([['K-quality', null]])
    const report = await verifyLedger(hall.db)
    expect(report.problems).toEqual([])
  })

  it('is the same event when it is sent again, by whomever, even when its maker can no longer be proven', async () => {
    const one = record(STOP)
    const [first] = await send([one], {})
    const owner = await signedInAs(hall, 'owner')
    await hall.db.deleteFrom('record_pass').execute()
    for (const cookie of [sender, owner])
      expect(await send([one], {}, { cookie })).toEqual([{ ...first, repeated: true }])
    expect(await send([one], { account: 'K-01' }, { cookie: owner })).toEqual([{ ...first, repeated: true }])
    expect(await asides()).toEqual([])
  })

  it('who sent it is part of what the hash covers', async () => {
    await send([record(STOP)], {})
    await hall.db.updateTable('ledger_event').set({ sent_by: null }).where('actor', '=', 'K-line').execute()
    expect((await verifyLedger(hall.db)).problems).not.toEqual([])
  })

  it('is set aside under the sender where the name is only claimed', async () => {
    const claims = [
      { pass: null },
      { pass: 'x'.repeat(43) },
      // a pass of one's own proves nothing about another
      { pass: await passOf(sender) },
      { account: 'K-01' },
      { account: '' },
    ]
    for (const claim of claims)
      expect(bookedBy(await send([record(STOP)], claim, { late: false })), JSON.stringify(claim)).toEqual([
        'maker-unproven',
      ])
    const kept = await asides()
    expect(kept.map((a) => a.actor)).toEqual(claims.map(() => 'K-quality'))
    expect(kept[0]?.why).toContain('“K-line”, whose sign-in at that station is not proven')
  })

  it('is set aside where it was made outside of the maker’s session, by the clock of the server', async () => {
    await ask(hall, { method: 'POST', url: '/api/sign-out' }, maker.cookie)
    const [before, after] = [record(STOP, 5 * MINUTE_MS), record(STOP, -5 * MINUTE_MS)]
    expect(bookedBy(await send([before, record(STOP), after], {}))).toEqual([
      'maker-unproven',
      ['K-line', 'K-quality'],
      'maker-unproven',
    ])
    // a station whose clock is five minutes slow says so as it sends
    const sentAt = new Date(Date.now() - 5 * MINUTE_MS).toISOString()
    expect(bookedBy(await send([record(STOP, 5 * MINUTE_MS), record(STOP)], { sentAt }))).toEqual([
      ['K-line', 'K-quality'],
      'maker-unproven',
    ])
  })

  it('ends with the session: closing the account, another at the station, the end of the shift', async () => {
    const ended = async () =>
      (
        await hall.db.selectFrom('record_pass').select('ended_at').where('account', '=', 'K-line').execute()
      ).map((row) => row.ended_at !== null)
    expect(await ended()).toEqual([false])
    // the same browser: its session ends as another begins
    const payload = { badge: 'K-quality', pin: '730514' }
    await ask(hall, { method: 'POST', url: '/api/sign-in', payload }, maker.cookie)
    expect(await ended()).toEqual([true])
    expect((await ask(hall, { url: '/api/me' }, maker.cookie)).body.account).toBeNull()

    const again = (await signIn(hall, 'K-line', '730514')).cookie!
    await hall.access.accounts.change('K-line', { role: null, pin: null, closed: true }, 'K-01')
    expect(await ended()).toEqual([true, true])
    expect((await ask(hall, { url: '/api/me' }, again)).body.account).toBeNull()
    // what was made before the account was closed is still booked
    expect(bookedBy(await send([record(STOP)], {}))).toEqual([['K-line', 'K-quality']])

    // a station is told, so that it asks anew in time without the network
    const { cookie } = await signIn(hall, 'K-quality', '730514')
    const leftMs = Number((await ask(hall, { url: '/api/me' }, cookie!)).body.leftMs)
    expect([leftMs > 11 * 60 * MINUTE_MS, leftMs <= 12 * 60 * MINUTE_MS]).toEqual([true, true])
    const thirteenHours = new Date(Date.now() - 13 * 60 * MINUTE_MS).toISOString()
    await hall.db.updateTable('record_pass').set({ began_at: thirteenHours, ended_at: null }).execute()
    expect(bookedBy(await send([record(STOP), record(STOP, 2 * 60 * MINUTE_MS)], {}))).toEqual([
      'maker-unproven',
      ['K-line', 'K-quality'],
    ])
  })

  it('keeps to the role of its maker, and what the hall cannot take is kept under the maker', async () => {
    const ship: CommandBody = { kind: 'ship-pieces', shipment: 'S1', serials: ['31-000001-3'] }
    const mount: CommandBody = { kind: 'mount-drum', drum: 'NO-SUCH', line: 'RW-1', mounting: null }
    const owner = await signedInAs(hall, 'owner')
    expect(bookedBy(await send([record(ship), record(mount)], {}, { cookie: owner }))).toEqual([
      'not-allowed',
      'command-refused',
    ])
    expect((await asides()).map((a) => [a.commandKind, a.actor])).toEqual([
      ['ship-pieces', 'K-line'],
      ['mount-drum', 'K-line'],
    ])
  })
})

it('a piece’s history names its maker, and who sent the record in', async () => {
  const [outcome] = await send([record(STOP)], {})
  const event = outcome && 'event' in outcome ? outcome.event : null
  const [later] = pieceHistory('31-000001-3', [event!])
  expect(later).toMatchObject({
    actor: 'K-line',
    text: expect.stringMatching(/; sent in later by K-quality$/),
  })
  const { sentBy: _, ...own } = event!
  expect(pieceHistory('31-000001-3', [own])[0]?.text).not.toContain('sent in later')
})

it('one’s own records need no proof', async () => {
  const anew = (await signIn(hall, 'K-line', '730514')).cookie!
  expect(bookedBy(await send([record(STOP, 30 * MINUTE_MS)], { pass: null }, { cookie: anew }))).toEqual([
    ['K-line', null],
  ])
})

it('the pass of a session opens nothing', async () => {
  for (const name of ['lastmetre-session', '__Host-lastmetre-session'])
    expect((await ask(hall, { url: '/api/works' }, `${name}=${maker.pass}`)).status).toBe(401)
})
