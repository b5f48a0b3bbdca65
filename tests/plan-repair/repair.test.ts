import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../bench/generate/random.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import type { StayingCuts } from '../../src/plan/repair-fixed.ts'
import { verifyClaims } from '../../src/plan/verify.ts'
import type { PieceInterval } from '../../src/strip/cut-plan.ts'
import type { Works } from '../../src/works/works.ts'
import { bulkRow } from '../plan/rows.ts'
import { expectAgreement } from '../plan-referee/agrees.ts'
import { refereeIsHere } from '../plan-referee/referee.ts'
import { hiddenPlan, SMALL } from '../plan-referee/works.ts'
import { foundFault, mended, withFault } from './mended.ts'

const { works, plan } = hiddenPlan({ ...SMALL, seed: 31 })
const drums = plan.mountings.map((m) => m.drum)
const printed = drums.filter((d) => works.marks.some((m) => m.drum === d && m.printUnit !== 'none'))
const cableOf = (drum: string) => works.drums.find((d) => d.drum === drum)!.cable

/** The repaired plan obeys every rule, by our own check and by the referee's. */
function expectSound(after: PlanInput, repaired: Plan): void {
  expect(verifyClaims(after, repaired).broken).toEqual([])
  if (refereeIsHere) expectAgreement({ ...works, ...after }, repaired)
}

function someMade(seed: number, share: number): StayingCuts[] {
  const random = seededRandom(seed)
  return plan.mountings.flatMap((m, mounting) =>
    random.chance(share) ? [{ mounting, intervals: random.whole(1, m.intervals.length) }] : [],
  )
}

/** The first piece of the plan that a test can do something to. */
function firstPiece(): { mounting: number; interval: number; piece: PieceInterval } {
  for (const [mounting, m] of plan.mountings.entries())
    for (const [interval, piece] of m.intervals.entries())
      if (piece.use === 'piece' && piece.putup !== null && printed.includes(m.drum))
        return { mounting, interval, piece }
  throw new Error('no piece')
}

describe('a repair', () => {
  it('changes nothing where nothing happened, and proves as much as was proven', () => {
    const first = mended(works, plan).plan
    const again = mended(works, first)
    expect(again.changes).toEqual([])
    expect(again.plan.mountings).toEqual(plan.mountings)
    expect(again.plan.costMicro).toBe(plan.costMicro)
    expect(again.plan.bound).toEqual(first.bound)
  })

  it.each(printed.slice(0, 6).map((d, i) => [d, i]))(
    'after a fault on %s leaves other cables alone',
    (drum, i) => {
      const after = withFault(works, foundFault(works, drum, 0.15 + i / 8))
      const { plan: repaired } = mended(after, plan)
      expectSound(after, repaired)
      const others = (p: Plan) => p.mountings.filter((m) => cableOf(m.drum) !== cableOf(drum))
      expect(others(repaired)).toEqual(others(plan))
    },
  )

  it.each([1, 2, 3, 4])('keeps cuts that were made, to the micrometre: case %i', (seed) => {
    const made = someMade(seed, 0.5)
    const begun = new Set(made.map((m) => plan.mountings[m.mounting]!.drum))
    // a drum that was not begun, so that no cut is lost to the fault
    const drum = printed.find((d) => !begun.has(d))!
    const after = withFault(works, foundFault(works, drum, 0.4))
    const { plan: repaired, lost } = mended(after, plan, { made })
    expectSound(after, repaired)
    expect(lost).toEqual([])
    for (const { mounting, intervals } of made) {
      const { drum: d, line, intervals: before } = plan.mountings[mounting]!
      const now = repaired.mountings.find((m) => m.drum === d && m.line === line)!
      expect(now.intervals.slice(0, intervals)).toEqual(before.slice(0, intervals))
    }
  })

  it('of a plan that was stored before anything was proven proves it anew, and takes nothing for nought', () => {
    const first = mended(works, plan).plan
    const unproven = {
      ...first,
      byCable: first.byCable.map((b) => ({ ...b, boundMicro: Number.NEGATIVE_INFINITY })),
    }
    const stored = JSON.parse(JSON.stringify(unproven)) as Plan
    expect(stored.byCable.every((b) => b.boundMicro === null)).toBe(true)
    expect(mended(works, stored).plan.bound).toEqual(first.bound)
  })

  it('is the same for the same seed', () => {
    const after = withFault(works, foundFault(works, printed[0]!, 0.5))
    const [a, b] = [mended(after, plan), mended(after, plan)]
    expect(b.plan).toEqual(a.plan)
    expect(b.changes).toEqual(a.changes)
  })
})

describe('a piece that was cut already', () => {
  it('is scrap in its place once a fault is found in it, and is cut again or told as missing', () => {
    const { mounting, interval, piece } = firstPiece()
    const { drum } = plan.mountings[mounting]!
    const length = works.drums.find((d) => d.drum === drum)!.bookUm
    const after = withFault(works, foundFault(works, drum, (piece.fromUm + piece.toUm) / 2 / length))
    const made = [{ mounting, intervals: interval + 1 }]
    const { plan: repaired, lost } = mended(after, plan, { made })
    expectSound(after, repaired)
    expect(lost.map((l) => l.piece)).toContainEqual(piece)
    const now = repaired.mountings.find((m) => m.drum === drum)!.intervals[interval]!
    expect(now).toMatchObject({ fromUm: piece.fromUm, toUm: piece.toUm, use: 'scrap', cause: 'fault F-NEW' })
  })

  it('stays as a remnant or scrap once its order is cancelled', () => {
    const { mounting, interval, piece } = firstPiece()
    const orders = works.orders.filter((o) => o.order !== piece.order || o.line !== piece.orderLine)
    const after = { ...works, orders }
    const { plan: repaired, lost } = mended(after, plan, { made: [{ mounting, intervals: interval + 1 }] })
    expectSound(after, repaired)
    expect(lost.some((l) => l.cause === 'no longer ordered')).toBe(true)
    const { drum } = plan.mountings[mounting]!
    const now = repaired.mountings.find((m) => m.drum === drum)!.intervals[interval]!
    expect(now).toMatchObject({ fromUm: piece.fromUm, toUm: piece.toUm })
    expect(['remnant', 'scrap']).toContain(now.use)
  })
})

describe('a drum that is put on hold', () => {
  const hold = (drum: string): Works => ({
    ...works,
    drums: works.drums.map((d) => (d.drum === drum ? { ...d, status: 'qc_hold' as const } : d)),
  })

  it('is in no mounting any more', () => {
    const after = hold(drums[0]!)
    const { plan: repaired } = mended(after, plan)
    expectSound(after, repaired)
    expect(repaired.mountings.map((m) => m.drum)).not.toContain(drums[0])
  })

  it('is cut no further where it was begun; what was cut stands', () => {
    const { mounting, interval } = firstPiece()
    const { drum, intervals } = plan.mountings[mounting]!
    const after = hold(drum)
    const { plan: repaired, heldBegun } = mended(after, plan, {
      made: [{ mounting, intervals: interval + 1 }],
    })
    expect(heldBegun).toEqual([drum])
    // held drums may not be allocated: the check is that of the day on which it was cut
    expectSound(works, { ...repaired, ...figures(works, repaired) })
    const now = repaired.mountings.find((m) => m.drum === drum)!
    expect(now.intervals.slice(0, interval + 1)).toEqual(intervals.slice(0, interval + 1))
    expect(now.intervals.slice(interval + 1).filter((i) => i.use === 'piece')).toEqual([])
  })
})

function figures(input: Works, p: Plan) {
  const { unservedMicro, costMicro, costItems, deliveredMicro } = verifyClaims(input, p)
  return { unservedMicro, costMicro, costItems, deliveredMicro }
}

describe('an order line', () => {
  it('that is cancelled before it is cut is cut nowhere, and the others are served as before', () => {
    const { piece } = firstPiece()
    const orders = works.orders.filter((o) => o.order !== piece.order || o.line !== piece.orderLine)
    const after = { ...works, orders }
    const { plan: repaired, changes } = mended(after, plan)
    expectSound(after, repaired)
    expect(repaired.unserved.map((u) => u.order)).toEqual(plan.unserved.map((u) => u.order))
    expect(changes.some((c) => 'order' in c && c.order === piece.order && c.kind === 'dropped')).toBe(true)
  })

  it('that comes in a rush is served from what is left, and nothing else is dropped for it', () => {
    const rest = plan.mountings.flatMap((m) =>
      m.intervals.flatMap((i) => (i.use === 'remnant' && i.putup === null ? [{ ...i, drum: m.drum }] : [])),
    )
    const longest = rest.sort((a, b) => b.toUm - b.fromUm - a.toUm + a.fromUm)[0]!
    const cable = cableOf(longest.drum)
    const rush = bulkRow({
      order: 'RUSH',
      cable,
      market: works.markets[0]!.market,
      lengthUm: Math.floor((longest.toUm - longest.fromUm) / 2e6) * 1e6,
      dueDate: works.site.works.todayDate,
      priceEur: 900,
      faultsAllowed: 'downgrade',
    })
    const after = { ...works, orders: [...works.orders, rush] }
    const { plan: repaired, changes } = mended(after, plan)
    expectSound(after, repaired)
    expect(repaired.unserved.map((u) => u.order)).toEqual(plan.unserved.map((u) => u.order))
    expect(changes).toContainEqual(expect.objectContaining({ kind: 'new', order: 'RUSH' }))
  })
})

describe('what is no part of the plan', () => {
  it.each([
    [{ mounting: 999, intervals: 1 }],
    [{ mounting: 0, intervals: 999 }],
    [{ mounting: -1, intervals: 1 }],
  ])('is refused: %o', (made) => {
    expect(() => mended(works, plan, { made: [made] })).toThrow(/has no .* intervals/)
  })
})
