import { beforeAll, describe, expect, it } from 'vitest'
import type { EventOf } from '../../src/ledger/event.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { away, cut, demoWorks, faultAt, Hall, M, mount, piece, received, windOff } from './hall.ts'

let works: PlanInput
beforeAll(async () => {
  works = await demoWorks()
})

function hallWithDrum(change: Parameters<typeof received>[2] = {}): Hall {
  const hall = new Hall(works)
  hall.do(received('D1', 1000, change))
  hall.do(mount('D1'))
  return hall
}

const found = (hall: Hall, place: Parameters<typeof faultAt>[1], drum = 'D1') =>
  hall.do(faultAt(drum, place)) as EventOf<'fault-found'>

describe('a fault', () => {
  // TRADE: u = 0.3 m if a mark was read at the fault, else 0.5 m + 0.2 % of the distance since the last known mark
  it('by its mark is placed to 0.3 m', () => {
    const hall = hallWithDrum()
    const at = found(hall, { by: 'mark', markFrom: 1210, markTo: 1209.5, segment: null })
    expect(at).toMatchObject({ fault: 'F-000001', fromUm: 209.5 * M, toUm: 210 * M, uncUm: 0.3 * M })
    expect(at.source).toBe('mark_read')
  })

  it('by the counter is as sure as the last known mark is near', () => {
    const hall = hallWithDrum()
    hall.do(cut('D1', piece(100)))
    // 150 m from the strip's end: 0.5 + 0.3
    expect(found(hall, { by: 'counter', fromUm: 50 * M, toUm: 50 * M })).toMatchObject({
      ...{ fromUm: 150 * M, toUm: 150 * M, uncUm: 0.8 * M, source: 'counter_only' },
    })
    hall.do(cut('D1', piece(100, { markInner: 1200 })))
    // 50 m from the mark that was read at the cut
    expect(found(hall, { by: 'counter', fromUm: 50 * M, toUm: 49 * M })).toMatchObject({
      ...{ fromUm: 249 * M, toUm: 250 * M, uncUm: 0.6 * M },
    })
  })

  it('by the counter is as unsure as the station says, where that is more than is usual', () => {
    const hall = hallWithDrum()
    const at = { by: 'counter', fromUm: 50 * M, toUm: 50 * M } as const
    // 50 m from the strip's end: 0.5 + 0.1
    expect(found(hall, { ...at, uncUm: 2 * M }).uncUm).toBe(2 * M)
    expect(found(hall, { ...at, uncUm: 0.1 * M }).uncUm).toBe(0.6 * M)
  })

  it('by the counter on a drum that lies the other way round', () => {
    const hall = hallWithDrum()
    hall.do(windOff('D1', 300, 'R1'))
    hall.do(away('D1'))
    hall.do(mount('R1'))
    expect(found(hall, { by: 'counter', fromUm: 10 * M, toUm: 12 * M }, 'R1')).toMatchObject({
      ...{ fromUm: 288 * M, toUm: 290 * M },
    })
  })

  it('does not lie where the drum has no cable', () => {
    const hall = hallWithDrum()
    hall.do(cut('D1', piece(100)))
    expect(hall.try(faultAt('D1', { by: 'counter', fromUm: 901 * M, toUm: 901 * M }))).toContain(
      'D1 has 900 m left',
    )
    expect(hall.try(faultAt('D1', { by: 'mark', markFrom: 1050, markTo: 1050, segment: null }))).toBe(
      'Mark 1050 does not stand on D1. Look at the mark again.',
    )
  })

  it('asks which run of marks where the mark stands twice, in metres and in feet', () => {
    const marks = [
      { fromUm: 0, toUm: 400 * M, markFrom: 400, markTo: 0, printUnit: 'm' as const },
      // 1 ft = 0.3048 m (16 CFR 500.19): 600 m are 1968.5 ft
      { fromUm: 400 * M, toUm: 1000 * M, markFrom: 0, markTo: 600 / 0.3048, printUnit: 'ft' as const },
    ]
    const hall = hallWithDrum({ marks })
    expect(hall.try(faultAt('D1', { by: 'mark', markFrom: 300, markTo: 300, segment: null }))).toContain(
      'Mark 300 stands 2 times on D1. Say in which run of marks: 1 (marks 400 to 0) or 2',
    )
    expect(found(hall, { by: 'mark', markFrom: 300, markTo: 301, segment: 1 })).toMatchObject({
      ...{ fromUm: 99 * M, toUm: 100 * M },
    })
    expect(found(hall, { by: 'mark', markFrom: 300, markTo: 300, segment: 2 })).toMatchObject({
      ...{ fromUm: 491.44 * M, toUm: 491.44 * M },
    })
    expect(hall.try(faultAt('D1', { by: 'mark', markFrom: 390, markTo: 500, segment: 1 }))).toBe(
      'Mark 500 does not stand on D1 in one run with mark 390.',
    )
  })

  it('is placed anew and withdrawn, naming what is corrected', () => {
    const hall = hallWithDrum()
    found(hall, { by: 'counter', fromUm: 50 * M, toUm: 50 * M })
    hall.do({
      kind: 'place-fault',
      fault: 'F-000001',
      place: { by: 'mark', markFrom: 1051, markTo: 1052, segment: null },
    })
    expect(hall.events.at(-1)).toMatchObject({ corrects: 3 })
    expect(hall.state.faults.get('F-000001')).toMatchObject({ fromUm: 51 * M, toUm: 52 * M, uncUm: 0.3 * M })
    hall.do({ kind: 'withdraw-fault', fault: 'F-000001', reason: 'dirt on the electrode' })
    expect(hall.state.faults.get('F-000001')?.withdrawn).toBe(true)
    expect(hall.try({ kind: 'withdraw-fault', fault: 'F-000001', reason: 'again' })).toBe(
      'Fault F-000001 was withdrawn.',
    )
  })
})

describe('the rest of a drum', () => {
  const rest = (newRestM: number, how: EventOf<'rest-measured'>['how']) => ({
    ...{ kind: 'measure-rest' as const, drum: 'D1', newRestUm: newRestM * M, uncUm: 100_000, how },
  })

  it('more left than booked: coordinates stay, what they are worth changes', () => {
    const hall = hallWithDrum()
    hall.do(cut('D1', piece(800)))
    expect(hall.try(rest(199, 'more left'))).toBe('D1 has 200 m by the book; 199 m is not more.')
    hall.do(rest(220, 'more left'))
    expect(hall.state.drums.get('D1')).toMatchObject({ fromUm: 800 * M, toUm: 1000 * M, ratio: 1.1 })
    expect(hall.sums()).toEqual({ received: 1000, 'book error': 20 })
    const done = hall.do(cut('D1', piece(110))) as EventOf<'pieces-cut'>
    expect(done.pieces[0]).toMatchObject({ fromUm: 800 * M, toUm: 900 * M, measuredUm: 110 * M })
    expect(hall.try(cut('D1', piece(111)))).toContain('D1 has 110 m left')
    // half of the rest is 55 m true, 50 m of the coordinate
    expect(found(hall, { by: 'counter', fromUm: 55 * M, toUm: 55 * M })).toMatchObject({ fromUm: 950 * M })
    expect(hall.broken()).toEqual([])
  })

  it('ran out here: what was booked is missing, and the drum leaves the line', () => {
    const hall = hallWithDrum()
    hall.do(cut('D1', piece(990)))
    hall.do(rest(0, 'ran out'))
    expect(hall.state.stretches.get('D1')?.at(-1)).toMatchObject({ use: 'missing', fromUm: 990 * M })
    expect(hall.sums()).toEqual({ received: 1000, 'book error': -10 })
    expect(hall.state.drums.get('D1')?.mountedOn).toBeNull()
    expect(hall.broken()).toEqual([])
  })

  it.each(['from', 'to'] as const)(
    'ran out with some of it not cut: that keeps its marks, and what lies inward of it is missing (outer end: %s)',
    (outer) => {
      const hall = hallWithDrum()
      if (outer === 'to') {
        // what lay outermost lies at the barrel of what is wound off
        hall.do(windOff('D1', null, 'D2'))
        hall.do(away('D1'))
        hall.do(mount('D2'))
      }
      const drum = outer === 'to' ? 'D2' : 'D1'
      hall.do({ ...rest(60, 'ran out'), drum })
      expect(hall.sums()).toEqual({ received: 1000, 'book error': -940 })
      const on = outer === 'to' ? [940, 1000] : [0, 60]
      expect(hall.state.drums.get(drum)).toMatchObject({
        ...{ fromUm: on[0]! * M, toUm: on[1]! * M, ratio: 1, outer, mountedOn: 'RW-1' },
      })
      expect(hall.state.stretches.get('D1')?.find((s) => s.use === 'missing')).toMatchObject({
        ...(outer === 'to' ? { fromUm: 0, toUm: 940 * M } : { fromUm: 60 * M, toUm: 1000 * M }),
        ref: null,
      })
      // the mark of a cut in the middle is the one that is printed there
      const markInner = outer === 'to' ? 1970 : 1030
      const [half] = (hall.do(cut(drum, piece(30, { markInner }))) as EventOf<'pieces-cut'>).pieces
      expect(half).toMatchObject({
        measuredUm: 30 * M,
        [outer === 'to' ? 'fromUm' : 'toUm']: markInner * M - 1000 * M,
      })
      expect(hall.try(cut(drum, piece(31)))).toContain(`${drum} has 30 m left`)
      hall.do(cut(drum, piece(30)))
      expect(hall.state.drums.get(drum)?.mountedOn).toBeNull()
      expect(hall.broken()).toEqual([])
    },
  )

  it('ran out with more than the book had: the rest is worth what came off', () => {
    const hall = hallWithDrum()
    hall.do(cut('D1', piece(990)))
    hall.do(rest(12, 'ran out'))
    expect(hall.state.drums.get('D1')).toMatchObject({ fromUm: 990 * M, toUm: 1000 * M, ratio: 1.2 })
    expect(hall.sums()).toEqual({ received: 1000, 'book error': 2 })
    expect(hall.broken()).toEqual([])
  })

  it('however far from the book a rest is, it is taken; only what no drum can hold is refused', () => {
    const hall = hallWithDrum()
    expect(hall.try(rest(30_000, 'weight'))).toContain('too far from it to be the same cable')
    hall.do(rest(3, 'weight'))
    expect(hall.sums()).toEqual({ received: 1000, 'book error': -997 })
    // 333 times as much again
    hall.do(rest(999, 'more left'))
    expect(hall.sums()).toEqual({ received: 1000, 'book error': -1 })
    expect(hall.broken()).toEqual([])
  })

  it('a stock count says what is seen and changes no length', () => {
    const hall = hallWithDrum()
    hall.do({ kind: 'count-drum', drum: 'D1', foundUm: 998 * M, foundUncUm: 500_000 })
    expect(hall.sums()).toEqual({ received: 1000, counted: -2 })
    expect(hall.state.drums.get('D1')).toMatchObject({ toUm: 1000 * M, ratio: 1 })
    expect(hall.broken()).toEqual([])
  })
})
