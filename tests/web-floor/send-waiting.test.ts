import { describe, expect, it } from 'vitest'
import type { LedgerEvent } from '../../src/ledger/event.ts'
import type { Maker } from '../../src/web/access/station-person.ts'
import { Refused, ServerGone } from '../../src/web/api.ts'
import { recordKey, stationName, tagsOf } from '../../src/web/outbox/record-key.ts'
import { retryDelayMs } from '../../src/web/outbox/retry-delay.ts'
import { type SendWaiting, sendWaiting } from '../../src/web/outbox/send-waiting.ts'
import {
  type AnsweredRecord,
  type WaitingRecord,
  waitsForMaker,
} from '../../src/web/outbox/waiting-record.ts'
import type { CommandOutcome, CommandsRequest } from '../../src/works/floor-api.ts'

const ANNA: Maker = { account: 'anna', name: 'A. Anna', pass: 'p-anna' }
const BO: Maker = { account: 'bo', name: 'bo', pass: null }

function record(running: number, tries = 0, by = ANNA): WaitingRecord {
  const body = { kind: 'stop-line', line: 'RW-1', cause: 'other', minutes: null } as const
  const command = { key: `K-${running}`, at: '', station: 'K', planId: null, corrects: null, body }
  return { running, command, by, words: '', tries }
}

/** A store and a server in memory; `answer` may throw as the network does. */
function station(records: WaitingRecord[], answer: (request: CommandsRequest) => CommandOutcome[]) {
  let waiting = records
  let person: string | null = 'anna'
  const sent: CommandsRequest[] = []
  const answers: AnsweredRecord[] = []
  const io: SendWaiting = {
    oldest: async (most) => waiting.slice(0, most),
    noteTry: async (tried) => {
      const keys = new Set(tried.map((r) => r.running))
      waiting = waiting.map((r) => (keys.has(r.running) ? { ...r, tries: r.tries + 1 } : r))
    },
    post: async (request) => {
      sent.push(request)
      return { outcomes: answer(request) }
    },
    settle: async (settled) => {
      answers.push(...settled)
      waiting = waiting.filter((r) => !settled.some((a) => a.running === r.running))
    },
    person: () => person,
    now: () => '2031-11-25T07:00:00.000Z',
  }
  const signIn = (account: string) => {
    person = account
  }
  return { io, sent, answers, waiting: () => waiting, signIn }
}

const bookAll = ({ commands }: CommandsRequest) =>
  commands.map((c) => ({ event: { key: c.key, body: c.body } as unknown as LedgerEvent, repeated: false }))

describe('the outbox', () => {
  it('sends in order, many at once, and takes out only what was answered', async () => {
    const all = Array.from({ length: 45 }, (_, i) => record(i + 1))
    const s = station(all, (request) => bookAll(request).slice(0, 7))
    expect(await sendWaiting(s.io)).toEqual({ end: 'empty' })
    expect(s.answers.map((a) => a.running)).toEqual(all.map((r) => r.running))
    expect(Math.max(...s.sent.map((r) => r.commands.length))).toBe(20)
    expect(s.waiting()).toEqual([])
  })

  it('what had no answer is sent again as late, with the same key, before what is new', async () => {
    let away = true
    const s = station([record(1)], (request) => {
      if (away) throw new ServerGone('gone')
      return bookAll(request)
    })
    expect(await sendWaiting(s.io)).toEqual({ end: 'gone', message: 'gone' })
    expect(s.waiting()).toMatchObject([{ running: 1, tries: 1 }])
    away = false
    s.waiting().push(record(2))
    expect(await sendWaiting(s.io)).toEqual({ end: 'empty' })
    expect(s.sent.map((r) => [r.late, r.commands.map((c) => c.key)])).toEqual([
      [false, ['K-1']],
      [true, ['K-1']],
      [false, ['K-2']],
    ])
  })

  it('a record that is not understood stops none of the others', async () => {
    const s = station([record(1), record(2), record(3)], (request) => {
      if (request.commands.some((c) => c.key === 'K-2'))
        throw new Refused({ code: 'bad-request', message: 'no', todo: '' }, 400)
      return bookAll(request)
    })
    expect(await sendWaiting(s.io)).toEqual({ end: 'empty' })
    expect(s.answers.map((a) => [a.running, a.refused?.code ?? null])).toEqual([
      [1, null],
      [2, 'bad-request'],
      [3, null],
    ])
  })

  it('keeps everything while nobody is signed in, and while the disk of the server is full', async () => {
    for (const [error, end] of [
      [new Refused({ code: 'sign-in-needed', message: '', todo: '' }, 401), 'signed-out'],
      [new Refused({ code: 'store-failed', message: 'full', todo: '' }, 500), 'gone'],
    ] as const) {
      const s = station([record(1)], () => {
        throw error
      })
      expect((await sendWaiting(s.io)).end).toBe(end)
      expect(s.waiting()).toHaveLength(1)
    }
  })

  it('hands on what was refused, with the number under which it is kept', async () => {
    const refused = { code: 'command-refused', message: 'No.', todo: '' }
    const s = station([record(1, 1)], () => [{ refused, aside: 12 }])
    await sendWaiting(s.io)
    expect(s.answers).toMatchObject([{ running: 1, refused, aside: 12, prompt: false }])
  })
})

describe('records of several people', () => {
  const sentAs = (sent: CommandsRequest[]) =>
    sent.map(({ maker, commands }) => [maker?.account, maker?.pass, ...commands.map((c) => c.key)])

  it('go in their order, each sending under one maker, whoever stands there', async () => {
    const carla = { ...ANNA, account: 'carla', pass: 'p-carla' }
    const s = station([record(1), record(2), record(3, 0, carla), record(4)], bookAll)
    s.signIn('carla')
    expect(await sendWaiting(s.io)).toEqual({ end: 'empty' })
    expect(sentAs(s.sent)).toEqual([
      ['anna', 'p-anna', 'K-1', 'K-2'],
      ['carla', 'p-carla', 'K-3'],
      ['anna', 'p-anna', 'K-4'],
    ])
    // two sessions of one person are two proofs
    const again = { ...ANNA, pass: 'p-anna-2' }
    const t = station([record(1), record(2, 0, again)], bookAll)
    await sendWaiting(t.io)
    expect(sentAs(t.sent)).toEqual([
      ['anna', 'p-anna', 'K-1'],
      ['anna', 'p-anna-2', 'K-2'],
    ])
  })

  it('made under a name that nothing proves wait for that sign-in, and what came after them too', async () => {
    const s = station([record(1), record(2, 0, BO), record(3)], bookAll)
    expect(await sendWaiting(s.io)).toEqual({ end: 'held' })
    expect(s.waiting().map((r) => [r.running, r.tries])).toEqual([
      [2, 0],
      [3, 0],
    ])
    s.signIn('bo')
    expect(await sendWaiting(s.io)).toEqual({ end: 'empty' })
    expect(sentAs(s.sent)).toEqual([
      ['anna', 'p-anna', 'K-1'],
      ['bo', null, 'K-2'],
      ['anna', 'p-anna', 'K-3'],
    ])
  })

  it('wait no longer once they are given up, and of nobody known never', () => {
    expect(waitsForMaker(BO, 'anna')).toBe(true)
    expect(waitsForMaker(BO, null)).toBe(true)
    expect(waitsForMaker({ ...BO, pass: '' }, 'anna')).toBe(false)
    expect(waitsForMaker({ ...BO, account: '' }, 'anna')).toBe(false)
    expect(waitsForMaker({ ...BO, account: 'local' }, 'anna')).toBe(false)
  })
})

describe('names and delays', () => {
  it('a key begins with what is written on the coil', () => {
    const bytes = new Uint8Array([0, 1, 2, 3, 250, 251, 252, 253])
    expect(stationName(bytes)).toMatch(/^[A-HJ-NP-Z2-9]{4}$/)
    expect(recordKey('K7QM', 12, bytes)).toMatch(/^K7QM-12-[A-HJ-NP-Z2-9]{8}$/)
    expect(tagsOf('K7QM', 12, 1)).toEqual(['K7QM-12'])
    expect(tagsOf('K7QM', 12, 2)).toEqual(['K7QM-12/1', 'K7QM-12/2'])
  })

  it('waits longer each time, and never longer than 15 s', () => {
    expect([1, 2, 3, 4, 5, 6, 50].map(retryDelayMs)).toEqual([500, 1000, 2000, 4000, 8000, 15000, 15000])
  })
})
