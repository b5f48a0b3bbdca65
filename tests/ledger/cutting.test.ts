import { beforeAll, describe, expect, it } from 'vitest'
import type { EventOf } from '../../src/ledger/event.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { away, cut, cutOff, demoWorks, Hall, M, mount, piece, received, windOff } from './hall.ts'

let works: PlanInput
beforeAll(async () => {
  works = await demoWorks()
})

/** D1 with 100 m of metre marks 1000 to 1100, mounted on RW-1. */
function hallWithDrum(): Hall {
  const hall = new Hall(works)
  hall.do(received('D1', 100))
  hall.do(mount('D1'))
  return hall
}

describe('at the line', () => {
  it('pieces come off the outer end, each with its trim, and have serials without a gap', () => {
    const hall = hallWithDrum()
    hall.do(cutOff('D1', 5))
    const done = hall.do(
      cut('D1', piece(25.025, { trimUm: 0.3 * M }), piece(25.025, { trimUm: 0.3 * M })),
    ) as EventOf<'pieces-cut'>
    expect(done.pieces.map(({ serial, fromUm, toUm }) => ({ serial, fromUm, toUm }))).toEqual([
      { serial: '31-000001-3', fromUm: 5 * M, toUm: 30.025 * M },
      { serial: '31-000002-1', fromUm: 30.325 * M, toUm: 55.35 * M },
    ])
    expect(hall.state.stretches.get('D1')?.map((s) => [s.use, s.fromUm / M, s.toUm / M])).toEqual([
      ['scrap', 0, 5],
      ['piece', 5, 30.025],
      ['trim', 30.025, 30.325],
      ['piece', 30.325, 55.35],
      ['trim', 55.35, 55.65],
      ['drum', 55.65, 100],
    ])
    expect(hall.sums()).toEqual({ received: 100, scrap: 5, trim: 0.6 })
    expect(hall.broken()).toEqual([])
  })

  it('what is not there cannot be cut, and says so', () => {
    const hall = hallWithDrum()
    hall.do(cut('D1', piece(87.6)))
    expect(hall.try(cut('D1', piece(25)))).toBe(
      'D1 has 12.4 m left; 25 m cannot be cut from it, 12.6 m more than there is. If more is left, book More left first.',
    )
    // a run is cut as a whole or not at all
    expect(hall.try(cut('D1', piece(10), piece(10)))).toContain('D1 has 2.4 m left; 10 m cannot')
    expect(hall.try(cutOff('D1', 12.5))).toContain('D1 has 12.4 m left')
    expect(hall.try(windOff('D1', 13))).toContain('D1 has 12.4 m left')
    expect(hall.state.pieces.get('31-000002-1')).toBeUndefined()
  })

  it('two stations cannot cut the same cable', () => {
    const hall = hallWithDrum()
    expect(hall.try(mount('D1', 'RW-2'))).toBe('D1 is on RW-1; put it away there first.')
    hall.do(received('D2', 50))
    expect(hall.try({ ...cut('D1', piece(10)), line: 'RW-2' })).toBe('D1 is on RW-1, not on RW-2.')
    expect(hall.try(mount('D2'))).toBe('RW-1 has D1 on it; put that away first.')
    expect(hall.try(cut('D2', piece(10)))).toBe('D2 is not on RW-1; D1 is. Put that away and mount D2 first.')
    hall.do(away('D1'))
    expect(hall.try(cut('D1', piece(10)))).toBe('D1 is not on RW-1; mount it first.')
    expect(hall.try(away('D1'))).toBe('D1 is on no line; it lies at A01-1.')
  })

  it('a drum that is empty has left its line', () => {
    const hall = hallWithDrum()
    hall.do(cut('D1', piece(100)))
    expect(hall.state.drums.get('D1')).toMatchObject({ fromUm: 100 * M, toUm: 100 * M, mountedOn: null })
    expect(hall.try(cut('D1', piece(1)))).toBe('D1 is empty by the book.')
    hall.do(received('D2', 50))
    hall.do(mount('D2'))
    hall.do(away('D1', 'EMPTIES'))
    expect(hall.broken()).toEqual([])
  })

  it('a held drum is mounted by hand only, and no piece is cut from it', () => {
    const hall = new Hall(works)
    hall.do(received('D1', 100, { status: 'qc_hold', reason: 'return loss' }))
    expect(hall.try({ ...mount('D1'), mounting: 3 })).toBe(
      'D1 is on hold: return loss. It has to be released first.',
    )
    hall.do(mount('D1'))
    expect(hall.try(cut('D1', piece(10)))).toContain('D1 is on hold')
    hall.do(cutOff('D1', 8, 'sample', 'laboratory'))
    hall.do({ kind: 'release-drum', drum: 'D1', reason: 'measured again' })
    hall.do(cut('D1', piece(10)))
    expect(hall.sums()).toMatchObject({ sample: 8 })
  })

  it('a mark that was read places the cut where it agrees with the length', () => {
    const hall = hallWithDrum()
    const [first] = (hall.do(cut('D1', piece(25, { markInner: 1025.4 }))) as EventOf<'pieces-cut'>).pieces
    expect(first).toMatchObject({ fromUm: 0, toUm: 25.4 * M, measuredUm: 25 * M })
    expect(hall.state.drums.get('D1')).toMatchObject({ fromUm: 25.4 * M, markedUm: 25.4 * M })
    // counter and marks differ by 0.4 m: the book gives it away
    expect(hall.sums()).toMatchObject({ 'book error': -0.4 })
    expect(hall.try(cut('D1', piece(25, { markInner: 1052 })))).toBe(
      'Mark 1052 lies 1.6 m from where the cut of D1 is by its length. Look at mark and reading again.',
    )
    expect(hall.try(cut('D1', piece(25, { markOuter: 1020 })))).toBe(
      'Mark 1020 lies 5.4 m from where the outer end of D1 is by its length. Look at mark and reading again.',
    )
    expect(hall.try(cut('D1', piece(25, { markInner: 2050 })))).toBe(
      'There is no mark 2050 on D1. Look at the mark again.',
    )
    expect(hall.broken()).toEqual([])
  })

  it('what is wound off lies the other way round', () => {
    const hall = hallWithDrum()
    const off = hall.do(windOff('D1', 40)) as EventOf<'remnant-wound-off'>
    expect(off).toMatchObject({ newDrum: 'R-000001', fromUm: 0, toUm: 40 * M })
    expect(hall.state.drums.get('R-000001')).toMatchObject({ outer: 'to', rewinds: 1, kind: 'remnant' })
    expect(hall.try(windOff('D1', 10, 'R-000001'))).toBe(
      'The ledger has a drum R-000001 already; take another number.',
    )
    hall.do(away('D1'))
    hall.do(mount('R-000001'))
    const first = hall.do(cut('R-000001', piece(10))) as EventOf<'pieces-cut'>
    expect(first.pieces[0]).toMatchObject({ fromUm: 30 * M, toUm: 40 * M })
    const marked = hall.do(cut('R-000001', piece(10, { markOuter: 1030, markInner: 1020.2 })))
    expect((marked as EventOf<'pieces-cut'>).pieces[0]).toMatchObject({ fromUm: 20.2 * M, toUm: 30 * M })
    expect(hall.broken()).toEqual([])
  })

  it('scrap has a cause of the list', () => {
    const hall = hallWithDrum()
    expect(hall.try(cutOff('D1', 5, 'scrap', 'monday'))).toContain('“monday” is no cause of scrap')
  })
})

describe('what a piece declares', () => {
  const orderPiece = { order: '7105', orderLine: 1, piece: 1, part: 1 }
  // guard 0.001 in the demo; 7105/1 is for 25 m of C081-50, 0 % short, 1 % long, market DE with decimal comma
  it.each([
    [25.025, 25 * M, '25 m', 'good'],
    [25.02, 24.995004 * M, '24,99 m', 'short'],
    [25.4, 25 * M, '25 m', 'long'],
  ] as const)('measured %s m for 25 m', (measuredM, declaredUm, text, fit) => {
    const hall = hallWithDrum()
    const done = hall.do(cut('D1', piece(measuredM, orderPiece))) as EventOf<'pieces-cut'>
    expect(done.pieces[0]).toMatchObject({ declaredText: text, fit })
    // to 1 µm: the lower bound is measured / 1.001
    expect(Math.abs(done.pieces[0]!.declaredUm! - declaredUm)).toBeLessThanOrEqual(1)
  })

  it('for the shelf: its lower bound, or the standard length where it reaches it', () => {
    const hall = hallWithDrum()
    const of = (change: object) =>
      (hall.do(cut('D1', piece(20.03, change))) as EventOf<'pieces-cut'>).pieces[0]
    // 20.03 / 1.001 = 20.0099...; a label has whole centimetres
    expect(of({})).toMatchObject({ declaredUm: 20_009_990, declaredText: '20 m', fit: 'good' })
    expect(of({ standardUm: 20 * M })).toMatchObject({ declaredUm: 20 * M, fit: 'good' })
    expect(of({ standardUm: 21 * M })).toMatchObject({ fit: 'short' })
  })

  it('another cable type or an unknown order line is refused', () => {
    const hall = hallWithDrum()
    expect(hall.try(cut('D1', piece(10, { order: '7106', orderLine: 1 })))).toBe(
      '7106/1 is for C069-75; D1 holds C081-50.',
    )
    expect(hall.try(cut('D1', piece(10, { order: 'X', orderLine: 1 })))).toContain('no order line X/1')
  })
})
