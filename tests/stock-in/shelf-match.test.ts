import { beforeAll, describe, expect, test } from 'vitest'
import { bestAssignment } from '../../src/ledger/best-assignment.ts'
import { matchShelf, pieceFits } from '../../src/ledger/shelf-match.ts'
import { type ShelfPiece, STOCK_ORDER } from '../../src/ledger/shelf-piece.ts'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { seededRandom } from '../../src/plan/random.ts'
import { demoInput } from '../papers/demo-input.ts'

let input: PlanInput
beforeAll(async () => {
  input = await demoInput()
})

/** Tries every way there is. */
function bruteForce(worth: (number | null)[][], takes: number[]): number {
  const row = (i: number, left: number[]): number => {
    if (i === worth.length) return 0
    let best = row(i + 1, left)
    for (const [j, w] of worth[i]!.entries())
      if (w !== null && left[j]! > 0)
        best = Math.max(
          best,
          w +
            row(
              i + 1,
              left.map((n, k) => (k === j ? n - 1 : n)),
            ),
        )
    return best
  }
  return row(0, takes)
}

const sumOf = (worth: (number | null)[][], given: (number | null)[]) =>
  given.reduce<number>((sum, j, i) => sum + (j === null ? 0 : worth[i]![j]!), 0)

describe('the best assignment', () => {
  test('400 random tables: as good as trying every way, and never more than a column takes', () => {
    const random = seededRandom(61)
    for (let round = 0; round < 400; round++) {
      const rows = 1 + Math.floor(random() * 6)
      const columns = 1 + Math.floor(random() * 5)
      const worth = Array.from({ length: rows }, () =>
        Array.from({ length: columns }, () => (random() < 0.3 ? null : Math.floor(random() * 40) - 5)),
      )
      const takes = Array.from({ length: columns }, () => Math.floor(random() * 3))
      const given = bestAssignment(worth, takes)
      for (const [j, most] of takes.entries())
        expect(given.filter((g) => g === j).length).toBeLessThanOrEqual(most)
      expect(sumOf(worth, given), JSON.stringify({ worth, takes })).toBe(bruteForce(worth, takes))
    }
  })
})

function line(change: Partial<OrderLine>): OrderLine {
  const like = input.orders.find((o) => o.kind === 'bulk' && o.cable === 'C059-50')!
  return {
    ...like,
    ...{ order: '8000', line: 1, market: 'US', qty: 1, lengthUm: 100_000_000, lengthTyped: '100', unit: 'm' },
    ...{ tolMinusPct: 0, tolPlusPct: 0, sameLotGroup: null, putup: 'C-380', faultsAllowed: 'none' },
    ...{ printRequired: true, dueDate: '2031-03-10', priceEur: 200 },
    ...change,
  }
}

function piece(change: Partial<ShelfPiece>): ShelfPiece {
  return {
    ...{ serial: '31-000001-1', cable: 'C059-50', lot: 'L1', declaredUm: 100_000_000, putup: 'C-380' },
    ...{ inHall: false, place: 'S01', since: '2031-01-01T00:00:00.000Z', faults: [], ...change },
  }
}

const matched = (orders: OrderLine[], pieces: ShelfPiece[]) =>
  matchShelf({ ...input, orders }, pieces)
    .matches.map((m) => `${m.serial}→${m.order}/${m.orderLine}`)
    .sort()

describe('the shelf serves order lines', () => {
  test('a piece within the tolerances goes; one short, long, of another put-up or cable does not', () => {
    expect(matched([line({})], [piece({})])).toEqual(['31-000001-1→8000/1'])
    expect(matched([line({})], [piece({ declaredUm: 99_999_999 })])).toEqual([])
    expect(matched([line({ tolMinusPct: 1 })], [piece({ declaredUm: 99_000_000 })])).toHaveLength(1)
    expect(matched([line({})], [piece({ declaredUm: 100_000_001 })])).toEqual([])
    expect(matched([line({ tolPlusPct: 2 })], [piece({ declaredUm: 102_000_000 })])).toHaveLength(1)
    expect(matched([line({})], [piece({ putup: 'C-280' })])).toEqual([])
    expect(matched([line({ putup: null })], [piece({ putup: 'C-280' })])).toHaveLength(1)
    expect(matched([line({})], [piece({ cable: 'C049-50' })])).toEqual([])
    expect(matched([line({ order: STOCK_ORDER })], [piece({})])).toEqual([])
  })

  test('a fault goes only where the line allows it; a print fault also where no print is asked', () => {
    const note = piece({ faults: [{ fault: 'F1', code: 'SCF', severity: 'note' }] })
    const print = piece({ faults: [{ fault: 'F2', code: 'PRT', severity: 'downgrade' }] })
    expect(matched([line({})], [note])).toEqual([])
    expect(matched([line({ faultsAllowed: 'note' })], [note])).toHaveLength(1)
    expect(matched([line({ faultsAllowed: 'note' })], [print])).toEqual([])
    expect(matched([line({ printRequired: false })], [print])).toHaveLength(1)
  })

  test('unmarked wood stays at home', () => {
    const wood = input.putups.find((p) => p.woodMark === 'unmarked')!
    const strict = input.markets.find((m) => m.woodRule === 'ispm15')!
    const free = input.markets.find((m) => m.woodRule === 'none')!
    const coil = piece({ putup: wood.putup })
    expect(pieceFits(input, coil, line({ putup: null, market: strict.market }))).toBe(false)
    expect(pieceFits(input, coil, line({ putup: null, market: free.market }))).toBe(true)
  })

  test('one piece, two lines: the weightier gets it; two alike pieces: the older goes', () => {
    const lines = [line({ priceEur: 100 }), line({ order: '8001', priceEur: 300 })]
    expect(matched(lines, [piece({})])).toEqual(['31-000001-1→8001/1'])
    const older = piece({ serial: '31-000002-9', since: '2030-01-01T00:00:00.000Z' })
    // shelfPieces() lists the oldest first
    expect(matched([line({})], [older, piece({})])).toEqual(['31-000002-9→8000/1'])
  })

  test('the picky line is not robbed by the easy one', () => {
    const easy = line({ order: '8001', putup: null, tolMinusPct: 5, priceEur: 210 })
    const picky = line({ order: '8002' })
    const pieces = [piece({}), piece({ serial: '31-000002-9', putup: 'C-280', declaredUm: 98_000_000 })]
    expect(matched([easy, picky], pieces)).toEqual(['31-000001-1→8002/1', '31-000002-9→8001/1'])
  })

  test('a lot group is served whole from one lot of the shelf, or not at all', () => {
    const group = [line({ sameLotGroup: 'G', qty: 2 }), line({ order: '8001', sameLotGroup: 'G' })]
    const coils = ['L1', 'L1', 'L2', 'L2', 'L2'].map((lot, i) => piece({ serial: `S${i}`, lot }))
    expect(matched(group, coils).map((m) => m.slice(0, 2))).toEqual(['S2', 'S3', 'S4'])
    expect(matched(group, coils.slice(0, 4))).toEqual([])
  })
})
