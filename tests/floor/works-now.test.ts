import { describe, expect, it } from 'vitest'
import type { WantedPiece } from '../../src/ledger/command.ts'
import { LedgerState } from '../../src/ledger/state.ts'
import { worksNow } from '../../src/ledger/works-now.ts'
import { allowsFault } from '../../src/order/faults-allowed.ts'
import { loadWorks } from '../../src/server/load-works.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { markAtPlace } from '../../src/strip/usable.ts'
import { DEMO } from '../support/demo.ts'
import { Book } from './book.ts'

const works = loadWorks(await readWorksFolder(DEMO)).works
const M = 1_000_000

/** A drum of the demo with a single-length bulk line for its cable, long enough to cut from. */
function choice(inParts = false) {
  for (const order of works.orders) {
    if (order.kind !== 'bulk' || order.singleLength === inParts || order.qty < (inParts ? 1 : 2)) continue
    const drum = works.drums.find(
      (d) =>
        d.cable === order.cable &&
        d.status === 'free' &&
        d.kind === 'process_drum' &&
        d.bookUm > (inParts ? 1 : 3) * order.lengthUm,
    )
    const line = works.site.lines.find((l) => {
      const od = works.cables.find((c) => c.cable === order.cable)!.odMm
      return od >= l.odMinMm && od <= l.odMaxMm
    })
    if (drum && line) return { order, drum: drum.drum, line: line.id }
  }
  throw new Error('the demo has no such order line')
}

function piece(order: (typeof works.orders)[number], change: Partial<WantedPiece> = {}): WantedPiece {
  const measuredUm = Math.ceil(order.lengthUm * (1 + works.site.cutRules.lengthGuardRatio))
  return {
    ...{ order: order.order, orderLine: order.line, piece: 1, part: 1, count: 1, putup: order.putup },
    ...{ measuredUm, uncUm: 10_000, trimUm: 50_000, counterM: null, markOuter: null, markInner: null },
    inspection: 'as shown',
    ...change,
  }
}

function mounted() {
  const found = choice()
  const book = new Book(works)
  book.book({ kind: 'mount-drum', drum: found.drum, line: found.line, mounting: null })
  return { ...found, book }
}

describe('the works as it is now', () => {
  it('is the works itself where there is no ledger', () => {
    expect(worksNow(works, new LedgerState())).toBe(works)
  })

  it('is the same to planning once the ledger has taken the drums over', () => {
    const book = new Book(works)
    const now = book.now()
    expect(now.drums.map((d) => d.drum)).toEqual(works.drums.map((d) => d.drum))
    expect(now.orders).toBe(works.orders)
    for (const { drum } of works.drums) {
      const [before, after] = [book.usable(drum, works), book.usable(drum, now)]
      expect(after.lengthUm).toBe(before.lengthUm)
      expect(after.good).toEqual(before.good)
      expect(after.clean.length).toBe(before.clean.length)
      for (const [i, zone] of after.zones.entries()) {
        expect(zone.fault.fault).toBe(before.zones[i]!.fault.fault)
        expect(Math.abs(zone.fromUm - before.zones[i]!.fromUm)).toBeLessThanOrEqual(1)
        expect(Math.abs(zone.toUm - before.zones[i]!.toUm)).toBeLessThanOrEqual(1)
      }
    }
  })

  it('counts places from the new outer end, where nothing is lost while it is on the line', () => {
    const { book, drum, line, order } = mounted()
    const before = book.usable(drum)
    book.book({ kind: 'cut-off', drum, line, lengthUm: 5 * M, use: 'scrap', cause: 'end' })
    const cut = book.book({ kind: 'cut-pieces', drum, line, mounting: null, pieces: [piece(order)] })
    const [made] = (cut as Extract<typeof cut, { kind: 'pieces-cut' }>).pieces
    const takenUm = 5 * M + made!.measuredUm + made!.trimUm
    const after = book.usable(drum)
    expect(after.lengthUm).toBe(before.lengthUm - takenUm)
    expect(after.good.fromUm).toBe(0)
    const mark = markAtPlace(before, takenUm + 10 * M)
    if (mark) expect(markAtPlace(after, 10 * M)!.mark).toBeCloseTo(mark.mark, 6)
    book.book({ kind: 'put-drum-away', drum, line, place: 'A1', endCaps: 'both', markRead: null })
    expect(book.usable(drum).good.fromUm).toBe(
      book.now().drums.find((d) => d.drum === drum)!.kind === 'remnant'
        ? works.site.cutRules.outerEndLossRemnantUm
        : works.site.cutRules.outerEndLossProcessDrumUm,
    )
  })

  it('asks for what is not made, with the numbers that are open, and again for what is spoiled', () => {
    const { book, drum, line, order } = mounted()
    const cut = book.book({
      ...{ kind: 'cut-pieces', drum, line, mounting: null },
      pieces: [piece(order, { piece: 2 })],
    })
    const { serial } = (cut as Extract<typeof cut, { kind: 'pieces-cut' }>).pieces[0]!
    const open = book.now().orders.find((o) => o.order === order.order && o.line === order.line)!
    expect(open.qty).toBe(order.qty - 1)
    expect(open.open!.qty).toBe(order.qty)
    expect(open.open!.pieces).toEqual(
      Array.from({ length: order.qty }, (_, n) => n + 1).filter((n) => n !== 2),
    )
    expect(open.priceEur / open.qty).toBeCloseTo(order.priceEur / order.qty, 9)
    book.book({ kind: 'spoil-piece', serial, cause: 'kinked' })
    expect(book.now().orders.find((o) => o.order === order.order && o.line === order.line)!.qty).toBe(
      order.qty,
    )
  })

  it('does not count a piece that is too short for its line', () => {
    const { book, drum, line, order } = mounted()
    const short = piece(order, { measuredUm: Math.floor(order.lengthUm * 0.5) })
    book.book({ kind: 'cut-pieces', drum, line, mounting: null, pieces: [short] })
    expect(book.now().orders.find((o) => o.order === order.order && o.line === order.line)!.qty).toBe(
      order.qty,
    )
  })

  it('keeps the rest of a piece in parts as a line of its own', () => {
    const { order, drum, line } = choice(true)
    const book = new Book(works)
    book.book({ kind: 'mount-drum', drum, line, mounting: null })
    const firstUm = Math.max(order.minPieceUm!, Math.round(order.lengthUm * 0.6))
    const guarded = Math.ceil(firstUm * (1 + works.site.cutRules.lengthGuardRatio))
    book.book({
      ...{ kind: 'cut-pieces', drum, line, mounting: null },
      pieces: [piece(order, { measuredUm: guarded, putup: works.putups[0]!.putup })],
    })
    const own = book.now().orders.filter((o) => o.order === order.order && o.open)
    const rest = own.find((o) => o.open!.restOf !== null)!
    expect(rest.open).toMatchObject({ pieces: [1], restOf: { line: order.line, parts: 1 } })
    expect(rest.qty).toBe(1)
    expect(rest.maxParts).toBe(order.maxParts! - 1)
    expect(rest.lengthUm).toBeGreaterThan(order.lengthUm - guarded)
    expect(rest.lengthUm).toBeLessThanOrEqual(order.lengthUm - firstUm + 1)
    expect(own.find((o) => o.open!.restOf === null)?.qty ?? 0).toBe(order.qty - 1)
  })

  it('knows a fault that was found, and forgets one that was withdrawn', () => {
    const { book, drum, line } = mounted()
    const found = book.book({
      ...{ kind: 'find-fault', drum, code: 'LUMP', severity: 'cut_out', what: null, line, signal: false },
      ...{ foundAt: null, place: { by: 'counter', fromUm: 40 * M, toUm: 41 * M } },
    })
    const { fault } = found as Extract<typeof found, { kind: 'fault-found' }>
    const zone = book.usable(drum).zones.find((z) => z.fault.fault === fault)!
    expect(zone.coreFromUm).toBe(40 * M)
    expect(zone.coreToUm).toBe(41 * M)
    expect(allowsFault({ faultsAllowed: 'downgrade', printRequired: false }, zone.fault)).toBe(false)
    book.book({ kind: 'withdraw-fault', fault, reason: 'dirt on the electrode' })
    expect(book.usable(drum).zones.some((z) => z.fault.fault === fault)).toBe(false)
  })

  it('turns a remnant round that was wound off: what lay outermost lies at the barrel', () => {
    const { book, drum, line } = mounted()
    const before = book.usable(drum)
    const putup = works.putups.find((p) => p.kind === 'drum')!.putup
    const event = book.book({
      ...{ kind: 'wind-off', drum, line, newDrum: null, lengthUm: 100 * M, putup, place: 'A2' },
    })
    const { newDrum } = event as Extract<typeof event, { kind: 'remnant-wound-off' }>
    const after = book.usable(newDrum)
    expect(after.lengthUm).toBe(100 * M)
    const mark = markAtPlace(before, 100 * M - 7 * M)
    if (mark) expect(markAtPlace(after, 7 * M)!.mark).toBeCloseTo(mark.mark, 6)
  })

  it('scales the rest where more was left than booked, and does not let the print overrule it', () => {
    const { book, drum } = mounted()
    const before = book.usable(drum)
    const newRestUm = Math.round(before.lengthUm * 1.03)
    book.book({ kind: 'measure-rest', drum, newRestUm, uncUm: 100_000, how: 'more left' })
    const after = book.usable(drum)
    expect(after.lengthUm).toBe(newRestUm)
    expect(after.scale).toBe(1)
    for (const [i, zone] of after.zones.entries())
      expect(zone.coreFromUm / before.zones[i]!.coreFromUm).toBeCloseTo(1.03, 6)
  })

  it('binds a same-lot group to the lot that it was begun from', () => {
    const order = works.orders.find((o) => o.sameLotGroup !== null && o.kind === 'bulk' && o.singleLength)
    const drum = works.drums.find(
      (d) => d.cable === order?.cable && d.status === 'free' && d.bookUm > 2 * (order?.lengthUm ?? 0),
    )
    if (!order || !drum) return expect.unreachable('the demo has a same-lot group')
    const book = new Book(works)
    const line = works.site.lines[0]!.id
    book.book({ kind: 'mount-drum', drum: drum.drum, line, mounting: null })
    book.book({ kind: 'cut-pieces', drum: drum.drum, line, mounting: null, pieces: [piece(order)] })
    for (const other of book.now().orders.filter((o) => o.sameLotGroup === order.sameLotGroup))
      expect(other.open!.lot).toBe(drum.lot)
  })
})
