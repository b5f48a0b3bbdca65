import { describe, expect, it } from 'vitest'
import type { CommandBody } from '../../src/ledger/command.ts'
import { advanceView, cutsOver } from '../../src/web/line/floor/advance-view.ts'
import { cutRecord, followedBy, NOTHING_TYPED } from '../../src/web/line/floor/cut-record.ts'
import { heldAfter, sameCut } from '../../src/web/line/floor/held-cut.ts'
import { scanDeed } from '../../src/web/line/floor/scan-deed.ts'
import { pieceCut, someAhead, someView } from './some-view.ts'

const piecesOf = (record: ReturnType<typeof cutRecord>) =>
  'body' in record && record.body.kind === 'cut-pieces' ? record.body.pieces : []

describe('what is booked of a cut', () => {
  it('as shown is word for word what the server said, one piece or a run', () => {
    const view = someView()
    expect(piecesOf(cutRecord(view, NOTHING_TYPED, 1))).toEqual([
      view.cuts[0]!.asShown.kind === 'cut-pieces' ? view.cuts[0]!.asShown.pieces[0] : null,
    ])
    expect(piecesOf(cutRecord(view, NOTHING_TYPED, 3)).map((p) => p.markInner)).toEqual([900, 799.7, 699.4])
    expect(cutRecord(view, NOTHING_TYPED, 4)).toEqual({ wrong: 'There are not so many equal coils.' })
  })

  it('a typed reading is corrected for the counter and moves the mark', () => {
    // true length = reading / (1 + error): 2 m less on a counter that reads 1 % long are 1.980 m
    const view = someView(0.01)
    const typed = { ...NOTHING_TYPED, counter: '98,3' }
    const [piece] = piecesOf(cutRecord(view, typed, 1))
    expect(piece?.measuredUm).toBe(100_000_000 - Math.round(2e6 / 1.01))
    expect(piece?.counterM).toBe(98.3)
    // the print falls inward, so a shorter piece ends at a higher mark
    expect(piece?.markInner).toBeCloseTo(900 + 2 / 1.01, 3)
    expect(followedBy(view.cuts[0]!, typed, 0.01).mark).toBeCloseTo(901.98, 2)
  })

  it('a typed mark alone moves length and reading; both typed are both booked', () => {
    const view = someView()
    const [byMark] = piecesOf(cutRecord(view, { ...NOTHING_TYPED, mark: '899' }, 1))
    expect(byMark).toMatchObject({ measuredUm: 101_000_000, counterM: 101.3, markInner: 899 })
    const [both] = piecesOf(cutRecord(view, { ...NOTHING_TYPED, counter: '100.3', mark: '899.5' }, 1))
    expect(both).toMatchObject({ measuredUm: 100_000_000, markInner: 899.5 })
  })

  it('refuses what is no figure, and what differs within a run', () => {
    const view = someView()
    expect(cutRecord(view, { ...NOTHING_TYPED, counter: '1o0' }, 1)).toHaveProperty('wrong')
    expect(cutRecord(view, { ...NOTHING_TYPED, counter: '98' }, 2)).toHaveProperty('wrong')
    expect(cutRecord(view, { ...NOTHING_TYPED, counter: '-5' }, 1)).toHaveProperty('wrong')
  })
})

describe('while the server is away', () => {
  it('cuts nothing that lies beyond where a drum ran out, and takes an empty one off the line', () => {
    // three pieces of 100.3 m
    const rest = (newRestUm: number) =>
      ({ kind: 'measure-rest', drum: 'D1', newRestUm, uncUm: 100_000, how: 'ran out' }) as const
    const short = advanceView(someView(), [rest(250_000_000)], null)
    expect(short.mounted?.restUm).toBe(250_000_000)
    expect(short.cuts.map((c) => c.row.cut)).toEqual(['1', '2'])
    const empty = advanceView(someView(), [rest(0)], null)
    expect(empty.mounted).toBeNull()
    expect(empty.cuts).toEqual([])
  })

  it('goes on with the next cut, and a deviation moves the marks that follow', () => {
    const view = someView()
    const record = cutRecord(view, { ...NOTHING_TYPED, counter: '98.3' }, 1)
    const after = advanceView(view, 'body' in record ? [record.body] : [], null)
    expect(after.cuts.map((c) => c.row.cut)).toEqual(['2', '3'])
    expect(after.mounted?.restUm).toBe(500_000_000 - 98_300_000)
    // everything lies 2 m further out, where the falling print is 2 higher
    expect(after.cuts[0]?.markInner).toBeCloseTo(899.7 - 100.3 + 2, 1)
    expect(after.cuts[0]?.row.mark).toBe('801.4 m')
    const run = cutRecord(view, NOTHING_TYPED, 3)
    expect(advanceView(view, 'body' in run ? [run.body] : [], null).cuts).toEqual([])
  })

  const away: CommandBody = {
    kind: 'put-drum-away',
    ...{ drum: 'D1', line: 'RW-1', place: 'A', endCaps: 'both', markRead: null },
  }
  const mount = (drum: string, mounting: number | null) =>
    ({ kind: 'mount-drum', drum, line: 'RW-1', mounting }) as const

  it('knows of no cuts of a drum that it was never told of, and says so', () => {
    const after = advanceView(someView(), [away, mount('D2', 2)], null)
    expect(after.mounted?.drum).toBe('D2')
    expect(after).toMatchObject({ cuts: [], cutsKnown: false })
    // kept for another plan is not known either
    const old = { ...someAhead(), planId: 7 }
    expect(advanceView(someView(), [away, mount('D2', 2)], old)).toMatchObject({ cuts: [], cutsKnown: false })
    expect(advanceView(someView(), [away], null).cutsKnown).toBe(true)
  })

  it('goes on with the drums that it keeps, each once, in the order of the plan', () => {
    const first = advanceView(someView(), [away], someAhead())
    expect(first.nextDrum?.drum).toBe('D2')
    const second = advanceView(someView(), [away, mount('D2', 2)], someAhead())
    expect(second.mounted).toMatchObject({ drum: 'D2', mounting: 2 })
    expect(second).toMatchObject({ cutsKnown: true, nextDrum: { drum: 'D3' }, dangers: ['of D2'] })
    expect(second.cuts.map((c) => c.asShown.kind === 'cut-pieces' && c.asShown.drum)).toEqual(['D2', 'D2'])
    const record = cutRecord(second, NOTHING_TYPED, 1)
    const cut = advanceView(
      someView(),
      [away, mount('D2', 2), ...('body' in record ? [record.body] : [])],
      someAhead(),
    )
    expect(cut.cuts).toHaveLength(1)
    // D2 comes twice in the plan: its second mounting is there once D3 has been run
    const through = [away, mount('D2', 2), away, mount('D3', 3), away]
    expect(advanceView(someView(), through, someAhead()).nextDrum).toMatchObject({ drum: 'D2', mounting: 4 })
    const done = advanceView(someView(), [...through, mount('D2', 4), away], someAhead())
    expect(done).toMatchObject({ ahead: [], mounted: null, moreAhead: 5 })
  })

  it('what the server has mounted meanwhile is not to come again', () => {
    const view = { ...someView(), mounted: someAhead().drums[0]!.drum }
    expect(advanceView(view, [], someAhead()).ahead.map((a) => a.drum.mounting)).toEqual([3, 4])
  })

  it('says which cuts lie over a place', () => {
    expect(cutsOver(someView().cuts, 150e6, 150e6)).toEqual([1])
    expect(cutsOver(someView().cuts, 90e6, 110e6)).toEqual([0, 1])
  })
})

describe('the cut in hand', () => {
  const view = someView()
  const held = { drum: 'D1', cut: view.cuts[0]!, provisional: false }

  it('stays while another one is wanted, and takes over what is not read', () => {
    const other = { ...view, cuts: [{ ...pieceCut(1, 1000, 1), presetM: 50.3, takenUm: 50_300_000 }] }
    expect(heldAfter(held, other, true)).toEqual({ held, wanted: other.cuts[0] })
    expect(heldAfter(held, { ...view, cuts: [] }, true)).toEqual({ held, wanted: 'none' })
    const fewer = { ...view, cuts: [pieceCut(1, 1000, 2)] }
    expect(heldAfter(held, fewer, true)).toMatchObject({ wanted: null, held: { cut: { equal: 2 } } })
  })

  it('a cut of this station own reckoning is settled by the first answer', () => {
    const own = { ...held, provisional: true }
    const other = { ...view, cuts: [{ ...pieceCut(1, 1000, 1), presetM: 100.4 }] }
    expect(heldAfter(own, other, true)).toMatchObject({ wanted: null, held: { provisional: false } })
    expect(sameCut(held.cut, other.cuts[0]!)).toBe(false)
  })

  it('is another one with another drum', () => {
    const drum = { ...view, mounted: { ...view.mounted!, drum: 'D2' } }
    expect(heldAfter(held, drum, true)).toMatchObject({ held: { drum: 'D2' }, wanted: null })
  })
})

describe('a scan', () => {
  const known = advanceView(someView(), [], someAhead())
  const empty = { ...known, mounted: null, cuts: [] }
  const nothing = { open: null, cutNeedsPlace: false, away: false }
  it('mounts the drum that is wanted and no other', () => {
    expect(scanDeed('D2', empty, nothing)).toMatchObject({ record: { kind: 'mount-drum', mounting: 2 } })
    expect(scanDeed('lastmetre:drum/D2', empty, nothing)).toHaveProperty('record')
    expect(scanDeed('D3', empty, nothing)).toEqual({
      say: 'D3 is not the drum wanted here. Wanted: D2, at A1.',
    })
    expect(scanDeed('D3', { ...empty, nextDrum: null }, nothing)).toMatchObject({
      record: { drum: 'D3', mounting: null },
    })
    expect(scanDeed('D2', known, nothing)).toHaveProperty('say')
    // a run sheet is no proof of the drum
    expect(scanDeed('lastmetre:plan/P0001/mounting/2', empty, nothing)).toHaveProperty('say')
  })

  it('without the network mounts what this station keeps and says of anything else that it is not known', () => {
    const away = { ...nothing, away: true }
    expect(scanDeed('D2', empty, away)).toMatchObject({
      record: { kind: 'mount-drum', drum: 'D2', mounting: 2 },
    })
    expect(scanDeed('D3', empty, away)).toHaveProperty(
      'say',
      'D3 is not the drum wanted here. Wanted: D2, at A1.',
    )
    expect(scanDeed('D9', empty, away)).toEqual({
      say: 'D9 is not known here without the network, so it cannot be mounted until the server answers. Known: D2, D3, D2. Wanted: D2.',
    })
    // wanted by the plan, but not told of in time
    expect(scanDeed('D2', { ...empty, ahead: [] }, away)).toHaveProperty('say')
    expect(scanDeed('D9', { ...empty, nextDrum: null }, away)).toHaveProperty('say')
  })

  it('is a place where one is asked for, and a serial is shown anywhere', () => {
    expect(scanDeed('A03-6', known, { ...nothing, open: 'away' })).toEqual({ place: 'A03-6' })
    expect(scanDeed('A03-6', known, { ...nothing, cutNeedsPlace: true })).toEqual({ cutPlace: 'A03-6' })
    const serial = '31-000001-3'
    expect(scanDeed(serial, known, { ...nothing, open: 'away' })).toEqual({
      open: { panel: 'serial', serial },
    })
    expect(scanDeed('31-000001-4', empty, nothing)).toHaveProperty('say')
  })
})
