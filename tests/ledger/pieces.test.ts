import { beforeAll, describe, expect, it } from 'vitest'
import type { CommandBody } from '../../src/ledger/command.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { cut, cutOff, demoWorks, Hall, M, mount, piece, received, windOff } from './hall.ts'

let works: PlanInput
beforeAll(async () => {
  works = await demoWorks()
})

const [A, B, C] = ['31-000001-3', '31-000002-1', '31-000003-9'] as const
const ordered = { order: '7105', orderLine: 1, piece: 1, part: 1 }
const ship = (...serials: string[]): CommandBody => ({ kind: 'ship-pieces', shipment: 'S1', serials })
const back: CommandBody = { kind: 'return-piece', serial: A, reason: 'too long' }
const spoil = (serial: string): CommandBody => ({ kind: 'spoil-piece', serial, cause: 'spoiled' })
const inspected = (verdict: 'stock' | 'shelf' | 'scrap'): CommandBody => ({
  ...{ kind: 'inspect-return', serial: A, verdict, newDrum: null, putup: null, place: 'R02-1', cause: null },
})

/** A and B are 25.1 m for 7105/1, C is 20.1 m for the shelf. */
function hallWithPieces(): Hall {
  const hall = new Hall(works)
  hall.do(received('D1', 100))
  hall.do(mount('D1'))
  hall.do(cut('D1', piece(25.1, ordered), piece(25.1, { ...ordered, piece: 2 }), piece(20.1)))
  return hall
}

describe('shipping', () => {
  it('counts what was declared, and what was given beyond it', () => {
    const hall = hallWithPieces()
    hall.do(ship(A, B))
    expect(hall.sums()).toEqual({ received: 100, shipped: 50, 'over-length': 0.2 })
    expect(hall.broken()).toEqual([])
  })

  it.each<[string, (hall: Hall) => void, string]>([
    ['a piece that is for nobody', () => {}, `${C} is for no order; allot it first.`],
    ['one that was shipped', (h) => h.do(ship(B)), `${B} is shipped, made for 7105/1.`],
    ['one that is scrap', (h) => h.do(spoil(B)), `${B} is scrapped, made for 7105/1.`],
    [
      'one that failed its test',
      (h) => h.do({ kind: 'test-piece', serial: B, figures: [], passed: false }),
      `${B} failed its last test.`,
    ],
    [
      'one of a lot that failed',
      (h) => h.do({ kind: 'test-lot', lot: 'L1', cable: 'C081-50', figures: [], passed: false }),
      `Lot L1 failed its last test; ${B} is of it.`,
    ],
    [
      'one of a drum on hold',
      (h) => h.do({ kind: 'hold-drum', drum: 'D1', status: 'qc_hold', reason: 'sparks' }),
      `D1, from which ${B} is, is on hold: sparks.`,
    ],
  ])('refuses %s', (_what, before, message) => {
    const hall = hallWithPieces()
    before(hall)
    expect(hall.try(ship(message.includes(C) ? C : B))).toBe(message)
    expect(hall.try(ship(A, message.includes(C) ? C : B))).toMatch(/./)
    // all or none
    expect(hall.state.pieces.get(A)?.where).toBe('hall')
    expect(hall.broken()).toEqual([])
  })

  it('says when a serial was typed wrong', () => {
    const hall = hallWithPieces()
    expect(hall.try(ship('31-000001-4'))).toContain('its check digit does not fit')
    expect(hall.try(ship('31-000009-6'))).toBe('The ledger has no piece 31-000009-6.')
    expect(hall.try(ship(A, A))).toBe(`${A} stands twice on S1.`)
  })
})

describe('a return', () => {
  it('only of what was shipped, and only what is back is inspected', () => {
    const hall = hallWithPieces()
    expect(hall.try(back)).toBe(`${A} was not shipped: it is in the hall, made for 7105/1.`)
    hall.do(ship(A))
    expect(hall.try(inspected('shelf'))).toBe(`${A} is not back: it is shipped, made for 7105/1.`)
    hall.do(back)
    expect(hall.try(ship(A))).toContain('waits for inspection')
    expect(hall.broken()).toEqual([])
  })

  it('becomes stock again as its interval, the other way round', () => {
    const hall = hallWithPieces()
    hall.do(ship(A))
    hall.do(back)
    expect(hall.do(inspected('stock'))).toMatchObject({ newDrum: 'R-000001', putup: 'C-220' })
    expect(hall.state.drums.get('R-000001')).toMatchObject({
      ...{ strip: 'D1', fromUm: 0, toUm: 25.1 * M, outer: 'to', place: 'R02-1' },
    })
    expect(hall.sums()).toMatchObject({ returned: 25.1 })
    hall.do({ kind: 'put-drum-away', drum: 'D1', line: 'RW-1', place: 'A1', endCaps: 'both', markRead: null })
    hall.do(mount('R-000001'))
    hall.do(cut('R-000001', piece(10)))
    expect(hall.state.pieces.get('31-000004-7')).toMatchObject({ fromUm: 15.1 * M, toUm: 25.1 * M })
    expect(hall.broken()).toEqual([])
  })

  it('goes on the shelf for anybody, or is scrapped', () => {
    const hall = hallWithPieces()
    hall.do(ship(A))
    hall.do(back)
    hall.do(inspected('shelf'))
    expect(hall.state.pieces.get(A)).toMatchObject({ where: 'shelf', order: null, place: 'R02-1' })
    hall.do({ kind: 'allot-piece', serial: A, order: '7105', orderLine: 1 })
    hall.do(ship(A))
    hall.do(back)
    hall.do(inspected('scrap'))
    expect(hall.state.stretches.get('D1')?.[0]).toMatchObject({ use: 'scrap', ref: A, cause: 'return' })
    expect(hall.broken()).toEqual([])
  })
})

describe('pieces in the works', () => {
  it('spoiled: the interval is scrap', () => {
    const hall = hallWithPieces()
    hall.do(spoil(A))
    expect(hall.try(spoil(A))).toBe(`${A} is scrapped, made for 7105/1.`)
    expect(hall.sums()).toMatchObject({ scrap: 25.1 })
    expect(hall.broken()).toEqual([])
  })

  it('a shelf piece serves an order line of its type that takes its length, labelled for its market', () => {
    const hall = hallWithPieces()
    const allot = (serial: string, order: string, orderLine = 1): CommandBody => ({
      ...{ kind: 'allot-piece', serial, order, orderLine },
    })
    expect(hall.try(allot(A, '7104'))).toBe(`${A} is for 7105/1 already.`)
    expect(hall.try(allot(C, '7104'))).toBe(`${C} has 20.08 m; 7104/1 takes no less than 100 m.`)
    expect(hall.try(allot(C, '7106'))).toContain('7106/1 is for C069-75')
    hall.do(cut('D1', piece(25.2)))
    hall.do(allot('31-000004-7', '7105'))
    expect(hall.state.pieces.get('31-000004-7')).toMatchObject({ order: '7105', declaredText: '25,17 m' })
  })

  it('label versions count up', () => {
    const hall = hallWithPieces()
    const print: CommandBody = { kind: 'print-label', serial: A, printer: 'P1', reason: 'torn' }
    expect(hall.do(print)).toMatchObject({ version: 1 })
    expect(hall.do(print)).toMatchObject({ version: 2 })
  })

  it('correcting a length that was shipped books the difference', () => {
    const hall = hallWithPieces()
    hall.do(ship(A))
    hall.do({
      ...{ kind: 'correct-piece', serial: A, order: '7105', orderLine: 1, measuredUm: 24.8 * M },
      ...{ markOuter: null, markInner: null, reason: 'counter read wrong' },
    })
    expect(hall.events.at(-1)).toMatchObject({ corrects: 3 })
    // 24.8 / 1.001, rounded down to the micrometre
    expect(hall.state.pieces.get(A)?.declaredUm).toBe(24_775_224)
    expect(hall.sums()).toEqual({
      ...{ received: 100, 'book error': -0.3, shipped: 24.775224, 'over-length': 0.024776 },
    })
    expect(hall.broken()).toEqual([])
  })

  it('a correction when the order is long gone from the works', () => {
    const hall = hallWithPieces()
    const later = { ...works, orders: [] }
    Object.assign(hall.context, { works: later })
    const corrected = (measuredUm: number): CommandBody => ({
      ...{ kind: 'correct-piece', serial: A, order: '7105', orderLine: 1, measuredUm },
      ...{ markOuter: null, markInner: null, reason: 'tape' },
    })
    expect(hall.do(corrected(25.08 * M))).toMatchObject({ declaredUm: 25 * M, declaredText: '25 m' })
    expect(hall.do(corrected(24.8 * M))).toMatchObject({ declaredUm: 24_775_224, declaredText: '24,77 m' })
    expect(hall.try({ ...corrected(25 * M), order: '7104' } as CommandBody)).toContain('no order line 7104/1')
    expect(hall.broken()).toEqual([])
  })

  it('bulk cable is not for leads', () => {
    const hall = hallWithPieces()
    hall.do(received('D9', 5, { cable: 'C028-50' }))
    hall.do({ kind: 'put-drum-away', drum: 'D1', line: null, place: 'A1', endCaps: 'both', markRead: null })
    hall.do(mount('D9'))
    hall.do(cut('D9', piece(1)))
    expect(hall.try({ kind: 'allot-piece', serial: '31-000004-7', order: '7121', orderLine: 1 })).toBe(
      '7121/1 is for leads; 31-000004-7 is bulk cable.',
    )
  })

  it('a cut that lies elsewhere moves both neighbours', () => {
    const hall = hallWithPieces()
    const moved = (fromM: number, toM: number): CommandBody => ({
      ...{ kind: 'move-cut', strip: 'D1', fromUm: fromM * M, toUm: toM * M, reason: 'mark read' },
    })
    hall.do(moved(70.3, 70.8))
    expect(hall.state.pieces.get(C)).toMatchObject({ toUm: 70.8 * M, measuredUm: 20.1 * M })
    expect(hall.state.drums.get('D1')).toMatchObject({ fromUm: 70.8 * M })
    expect(hall.sums()).toEqual({ received: 100, 'book error': -0.5 })
    expect(hall.try(moved(70.3, 71))).toBe('There is no cut at 70.3 m of the strip D1.')
    expect(hall.try(moved(70.8, 100))).toContain('can only lie between 50.2 m and 100 m')
    hall.do(cutOff('D1', 5))
    hall.do(moved(75.8, 76))
    expect(hall.sums()).toMatchObject({ scrap: 5.2, 'book error': -0.5 })
    hall.do(spoil(C))
    hall.do(moved(70.8, 70.9))
    expect(hall.broken()).toEqual([])
  })
})

describe('leads', () => {
  function hallWithBenchLength(): Hall {
    const hall = new Hall(works)
    hall.do(received('D1', 100, { cable: 'C028-50', lot: 'L2' }))
    hall.do(mount('D1'))
    hall.do(
      cut('D1', piece(1.6, { order: '7121', orderLine: 1, piece: 1, part: null, count: 10, putup: null })),
    )
    return hall
  }
  const made = (n: number, passed = true): CommandBody => ({
    kind: 'finish-leads',
    from: A,
    leads: Array.from({ length: n }, () => ({
      ...{
        order: '7121',
        orderLine: 1,
        lengthUm: 150_000,
        tools: ['W1'],
        connectorLots: ['K1'],
        figures: [],
        passed,
      },
    })),
  })

  it('are made of a bench length, no more than it is for, and have its cable in equal shares', () => {
    const hall = hallWithBenchLength()
    expect(hall.state.pieces.get(A)).toMatchObject({ declaredUm: null, count: 10 })
    expect(hall.try(ship(A))).toBe(`${A} is a bench length; its leads are shipped.`)
    hall.do(made(4))
    expect(hall.try(made(7))).toBe(`${A} is for 10 leads and 6 are left to make; 7 are too many.`)
    expect(hall.state.pieces.get(B)).toMatchObject({
      parent: A,
      lot: 'L2',
      measuredUm: 160_000,
      toUm: 1.6 * M,
    })
    expect(hall.state.pieces.get(B)?.declaredText).toBe('0,15 m')
    hall.do(made(6))
    expect(hall.state.pieces.get(A)?.where).toBe('made into leads')
    hall.do(ship(B, C))
    expect(hall.sums()).toMatchObject({ shipped: 0.3, 'over-length': 0.02 })
    expect(hall.broken()).toEqual([])
  })

  it('that failed are not shipped, and are scrap of their share', () => {
    const hall = hallWithBenchLength()
    hall.do(made(1, false))
    expect(hall.try(ship(B))).toBe(`${B} failed its last test.`)
    hall.do(spoil(B))
    expect(hall.sums()).toMatchObject({ scrap: 0.16 })
    // the rest of the bench length
    hall.do(spoil(A))
    expect(hall.sums()).toMatchObject({ scrap: 1.6 })
    expect(hall.broken()).toEqual([])
  })
})

describe('records', () => {
  it('complaints open and close once, records that were set aside are settled once', () => {
    const hall = hallWithPieces()
    hall.do({
      ...{
        kind: 'open-complaint',
        serial: A,
        claim: 'short',
        claimedUm: 24 * M,
        method: 'tape',
        uncUm: null,
        note: null,
      },
    })
    const close: CommandBody = {
      kind: 'close-complaint',
      complaint: 'CP-000001',
      verdict: 'refused',
      note: 'tape',
    }
    hall.do(close)
    expect(hall.try(close)).toBe('Complaint CP-000001 is closed: refused.')
    hall.do({ kind: 'set-record-aside', commandKind: 'cut-pieces', commandText: '{}', why: 'gone' })
    const settle: CommandBody = { kind: 'settle-record', aside: hall.events.length, how: 'dropped', note: '' }
    hall.do(settle)
    expect(hall.try(settle)).toContain('is settled already')
    expect(
      hall.do({
        ...{ kind: 'record-check', what: 'counter', subject: 'RW-1', passed: true, figures: [], note: null },
      }),
    ).toMatchObject({ check: 'CK-000001' })
  })

  it('a correction of what was not booked yet is refused', () => {
    const hall = hallWithPieces()
    expect(hall.try(windOff('D1', 1, 'D1'))).toContain('drum D1 already')
  })
})
