import { beforeAll, describe, expect, it } from 'vitest'
import { openingCommands } from '../../src/ledger/opening.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { cut, cutOff, demoWorks, Hall, M, mount, piece, received } from './hall.ts'

let works: PlanInput
beforeAll(async () => {
  works = await demoWorks()
})

function sound(): Hall {
  const hall = new Hall(works)
  hall.do(received('D1', 100))
  hall.do(received('D2', 50))
  hall.do(mount('D1'))
  hall.do(cut('D1', piece(25, { trimUm: 0.3 * M }), piece(10)))
  hall.do(cutOff('D1', 2))
  hall.do({ kind: 'spoil-piece', serial: '31-000002-1', cause: 'spoiled' })
  return hall
}

const stretches = (hall: Hall) => hall.state.stretches.get('D1')!

describe('what is broken is found', () => {
  it('nothing in a sound ledger', () => {
    expect(sound().broken()).toEqual([])
  })

  it('nothing when the stock of the demo works has come in', () => {
    const hall = new Hall(works)
    for (const { body } of openingCommands(works, new Set(), '2031-03-03T06:00:00Z')) hall.do(body)
    expect([...hall.state.drums.rows()]).toHaveLength(works.drums.length)
    expect(hall.broken()).toEqual([])
  })

  it.each<[string, (hall: Hall) => void, string]>([
    [
      'a stretch is missing',
      (h) => h.state.stretches.put('D1', stretches(h).slice(1)),
      'from 0 m on are missing',
    ],
    [
      'two overlap',
      (h) =>
        h.state.stretches.put(
          'D1',
          stretches(h).map((s, i) => (i === 1 ? { ...s, fromUm: 24 * M } : s)),
        ),
      'stretches overlap at 24 m',
    ],
    [
      'a drum says otherwise than the strip',
      (h) => h.state.drums.put('D1', { ...h.state.drums.get('D1')!, fromUm: 37 * M }),
      'Drum D1 says 37 m to 100 m',
    ],
    [
      'two drums on a line',
      (h) => h.state.drums.put('D2', { ...h.state.drums.get('D2')!, mountedOn: 'RW-1' }),
      'RW-1 has two drums on it',
    ],
    [
      'a piece is longer than its stretch',
      (h) =>
        h.state.pieces.put('31-000001-3', { ...h.state.pieces.get('31-000001-3')!, measuredUm: 25 * M + 1 }),
      '31-000001-3 measures 25.000001 m; its stretch has 25 m.',
    ],
    [
      'scrap is called a piece',
      (h) => h.state.pieces.put('31-000002-1', { ...h.state.pieces.get('31-000002-1')!, where: 'hall' }),
      '31-000002-1 is hall; the strip says scrap.',
    ],
    [
      'a serial was given and is on no piece',
      (h) => {
        h.state.head = { ...h.state.head, given: { 'serial 31': 3 } }
      },
      'Serial 3 of year 31 is on no piece.',
    ],
    [
      'a movement is wanting',
      (h) =>
        h.state.movements.splice(
          h.state.movements.findIndex((m) => m.what === 'scrap'),
          1,
        ),
      'still here',
    ],
    [
      'metres from nowhere',
      (h) => h.state.movements.push({ ...h.state.movements[0]!, what: 'book error', um: 1, n: 9 }),
      'in all 100000001 µm by the movements, 100000000 µm by the strip',
    ],
  ])('%s', (_what, spoil, message) => {
    const hall = sound()
    spoil(hall)
    expect(hall.broken().join('\n')).toContain(message)
  })
})
