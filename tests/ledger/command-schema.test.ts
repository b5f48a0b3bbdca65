import { describe, expect, it } from 'vitest'
import type { CommandBody } from '../../src/ledger/command.ts'
import { commandsRequest, MAX_COMMANDS } from '../../src/works/command-schema.ts'
import { away, cut, cutOff, faultAt, M, mount, piece, received, windOff } from './hall.ts'

const asked = (body: unknown, change: object = {}) => ({
  commands: [
    {
      key: 'T1-1-a',
      at: '2031-03-03T06:00:00.000Z',
      station: 'T1',
      planId: null,
      corrects: null,
      body,
      ...change,
    },
  ],
  late: false,
})
const passes = (request: unknown) => commandsRequest.safeParse(request).success

describe('commands as they come in', () => {
  it.each<CommandBody>([
    received('D1', 100),
    mount('D1'),
    away('D1'),
    cut('D1', piece(25), piece(25, { standardUm: 25 * M })),
    cutOff('D1', null),
    windOff('D1', 3, 'R1'),
    faultAt('D1', { by: 'mark', markFrom: 3, markTo: 4, segment: null }),
    { kind: 'refuse-sign-in', account: 'anna', why: 'wrong' },
  ])('$kind passes as it is', (body) => {
    expect(commandsRequest.parse(asked(body)).commands[0]?.body).toEqual(body)
  })

  it.each<[string, unknown]>([
    ['an unknown kind', asked({ kind: 'sell-drum', drum: 'D1' })],
    ['a field that is none', asked({ ...mount('D1'), speed: 3 })],
    ['an id that is a path', asked(mount('../D1'))],
    ['a broken micrometre', asked(cut('D1', piece(1, { measuredUm: 1.5 })))],
    ['a length beyond 100 km', asked(cutOff('D1', 100_001))],
    ['a length that is no number', asked(cutOff('D1', Number.NaN))],
    ['no pieces', asked(cut('D1'))],
    ['too many pieces', asked(cut('D1', ...Array.from({ length: 501 }, () => piece(1))))],
    ['control characters', asked({ kind: 'move-drum', drum: 'D1', place: 'A\u0000' })],
    ['a time that is none', asked(mount('D1'), { at: 'yesterday' })],
    ['a time with an offset', asked(mount('D1'), { at: '2031-03-03T06:00:00+01:00' })],
    ['a key of blanks', asked(mount('D1'), { key: ' ' })],
    ['no commands', { commands: [], late: false }],
    [
      'too many',
      { ...asked(mount('D1')), commands: Array(MAX_COMMANDS + 1).fill(asked(mount('D1')).commands[0]) },
    ],
  ])('%s is refused', (_what, request) => {
    expect(passes(request)).toBe(false)
  })
})
