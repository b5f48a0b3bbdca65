import { describe, expect, it } from 'vitest'
import { longestFirstBestFit } from '../../bench/baselines/best-fit.ts'
import { firstFitDecreasing } from '../../bench/baselines/first-fit.ts'
import { generateWorks, LARGE, TIGHT } from '../../bench/generate-works.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { BrokenRule } from '../../src/plan/tally.ts'
import { verifyPlan } from '../../src/plan/verify.ts'
import type { Interval, Mounting, PieceInterval } from '../../src/strip/cut-plan.ts'
import type { Works } from '../../src/works/works.ts'
import { expectAgreement } from './agrees.ts'
import { judge, refereeIsHere } from './referee.ts'
import { demoWorks, hiddenPlan, SMALL } from './works.ts'

describe.skipIf(!refereeIsHere)('our own check and the independent referee', () => {
  it.each([3, 4, 5, 6])('find the same of the hidden cutting of works %i', (seed) => {
    const { works, plan } = hiddenPlan({ ...SMALL, seed })
    expectAgreement(works, plan)
  })

  it.each([longestFirstBestFit, firstFitDecreasing])(
    'find the same of a greedy plan: %o',
    async (planner) => {
      const demo = await demoWorks()
      expectAgreement(demo, planner(demo))
      for (const wanted of [TIGHT, { ...TIGHT, seed: 21 }, LARGE]) {
        const { works } = generateWorks(wanted)
        expectAgreement(works, planner(works))
      }
    },
  )
})

describe.skipIf(!refereeIsHere)('a drum that is mounted again for its rest', () => {
  it.each([3, 4, 5])('costs the same by both: works %i', (seed) => {
    const { works, plan } = hiddenPlan({ ...SMALL, seed })
    const twice = { ...plan, mountings: plan.mountings.flatMap((m) => inTwo(works, m)) }
    expect(twice.mountings.length).toBeGreaterThan(plan.mountings.length)
    const { unservedMicro, costMicro, costItems, deliveredMicro } = verifyPlan(works, twice)
    expectAgreement(works, { ...twice, unservedMicro, costMicro, costItems, deliveredMicro })
  })
})

/** Stops half-way, leaves the rest on the drum and mounts it again on the same line. */
function inTwo(works: Works, mounting: Mounting): Mounting[] {
  const process = works.drums.find((d) => d.drum === mounting.drum)?.kind === 'process_drum'
  const { intervals } = mounting
  const half = intervals.findIndex((x, i) => i >= intervals.length / 2 && x.use === 'piece')
  if (!process || half < 0) return [mounting]
  const rest = { fromUm: intervals[half]!.fromUm, toUm: intervals.at(-1)!.toUm }
  return [
    { ...mounting, intervals: [...intervals.slice(0, half), { ...rest, use: 'remnant', putup: null }] },
    { ...mounting, intervals: intervals.slice(half) },
  ]
}

/** One breach each, done to a plan that obeys every rule, or to its works. */
interface Breach {
  rule: BrokenRule['rule']
  /** The referee's number of the same rule. */
  number: string
  what: string
  breaks: (plan: Plan, works: Works) => void
}

const pieces = (plan: Plan): PieceInterval[] =>
  plan.mountings.flatMap((m) => m.intervals.filter((i): i is PieceInterval => i.use === 'piece'))
const orderOf = (works: Works, piece: PieceInterval) =>
  works.orders.find((o) => o.order === piece.order && o.line === piece.orderLine)!
const bulk = (plan: Plan, works: Works) => pieces(plan).find((p) => orderOf(works, p).kind === 'bulk')!
const lead = (plan: Plan, works: Works) => pieces(plan).find((p) => orderOf(works, p).kind === 'lead')!
const owner = (plan: Plan, piece: Interval): Mounting =>
  plan.mountings.find((m) => m.intervals.includes(piece))!
const next = (plan: Plan, piece: Interval): Interval => {
  const { intervals } = owner(plan, piece)
  return intervals[intervals.indexOf(piece) + 1]!
}

const BREACHES: Breach[] = [
  {
    rule: 'tiling',
    number: 'R1',
    what: 'a gap between two intervals',
    breaks: (plan) => {
      plan.mountings[0]!.intervals.at(-1)!.fromUm += 1000
    },
  },
  {
    rule: 'tiling',
    number: 'R1',
    what: 'an unknown line',
    breaks: (plan) => {
      plan.mountings[0]!.line = 'WL-Z'
    },
  },
  {
    rule: 'tiling',
    number: 'R1',
    what: 'a process drum at the bench',
    breaks: (plan, works) => {
      const process = works.drums.filter((d) => d.kind === 'process_drum').map((d) => d.drum)
      plan.mountings.find((m) => process.includes(m.drum))!.line = 'K1'
    },
  },
  {
    rule: 'tiling',
    number: 'R1',
    what: 'a drum that is held',
    breaks: (plan, works) => {
      works.drums.find((d) => d.drum === plan.mountings[0]!.drum)!.status = 'qc_hold'
    },
  },
  {
    rule: 'ends',
    number: 'R2',
    what: 'a piece that begins in the outer end loss',
    breaks: (plan) => {
      const [end, first] = plan.mountings.find((m) => m.intervals[0]?.use === 'end')!.intervals
      end!.toUm -= 1000
      first!.fromUm -= 1000
    },
  },
  {
    rule: 'faults',
    number: 'R3',
    what: 'a piece over a fault that is cut out',
    breaks: (plan, works) => {
      const fault = works.faults.find(
        (f) => f.severity === 'cut_out' && plan.mountings.some((m) => m.drum === f.drum),
      )!
      const mounting = plan.mountings.find((m) => m.drum === fault.drum)!
      const end = mounting.intervals.at(-1)!.toUm
      const piece = mounting.intervals.find((i) => i.use === 'piece')!
      mounting.intervals = [
        ...(piece.fromUm > 0 ? [{ fromUm: 0, toUm: piece.fromUm, use: 'end' as const }] : []),
        { ...piece, toUm: end },
      ]
    },
  },
  {
    rule: 'length',
    number: 'R4',
    what: 'a piece that is a millimetre short',
    breaks: (plan, works) => {
      const piece = bulk(plan, works)
      next(plan, piece).fromUm -= 1000
      piece.toUm -= 1000
    },
  },
  {
    rule: 'length',
    number: 'R4',
    what: 'a bench length of leads that is a millimetre short',
    breaks: (plan, works) => {
      const piece = lead(plan, works)
      next(plan, piece).fromUm -= 1000
      piece.toUm -= 1000
    },
  },
  {
    rule: 'length',
    number: 'R4',
    what: 'a piece that declares less than the minus tolerance allows',
    breaks: (plan, works) => {
      bulk(plan, works).declaredUm -= 9_000_000
    },
  },
  {
    rule: 'quantity',
    number: 'R5',
    what: 'a piece that is given twice',
    breaks: (plan, works) => {
      const piece = pieces(plan).find((p) => orderOf(works, p).singleLength && orderOf(works, p).qty > 1)!
      const again = pieces(plan).find(
        (p) => p !== piece && p.order === piece.order && p.orderLine === piece.orderLine,
      )!
      again.piece = piece.piece
    },
  },
  {
    rule: 'quantity',
    number: 'R5',
    what: 'an unserved line that is not listed',
    breaks: (plan) => {
      plan.unserved.pop()
    },
  },
  {
    rule: 'quantity',
    number: 'R5',
    what: 'an unserved line without a reason',
    breaks: (plan) => {
      plan.unserved[0]!.reason = ' '
    },
  },
  {
    rule: 'put-up',
    number: 'R8',
    what: 'a put-up that was not ordered',
    breaks: (plan, works) => {
      const piece = pieces(plan).find((p) => orderOf(works, p).putup !== null)!
      piece.putup = piece.putup === 'WU-1100' ? 'WD-1100' : 'WU-1100'
    },
  },
  {
    rule: 'put-up',
    number: 'R8',
    what: 'an unknown put-up',
    breaks: (plan, works) => {
      bulk(plan, works).putup = 'constructor'
    },
  },
  {
    rule: 'cable',
    number: 'R9',
    what: 'another cable than was ordered',
    breaks: (plan, works) => {
      const piece = bulk(plan, works)
      const other = works.orders.find((o) => o.cable !== orderOf(works, piece).cable)!
      piece.order = other.order
      piece.orderLine = other.line
    },
  },
]

describe.skipIf(!refereeIsHere)('a plan that breaks one rule', () => {
  it.each(BREACHES)('$what: both say $number', ({ rule, number, breaks }) => {
    const { works, plan } = hiddenPlan({ ...SMALL, seed: 3 })
    expect(verifyPlan(works, plan).broken).toEqual([])
    const [changed, changedWorks] = structuredClone([plan, works] as const)
    breaks(changed, changedWorks)
    expect(verifyPlan(changedWorks, changed).broken.map((b) => b.rule)).toContain(rule)
    expect(judge(changedWorks, changed).broken.map((b) => b.rule)).toContain(number)
  })
})

describe.skipIf(!refereeIsHere)('groups and parts', () => {
  it('a same-lot group from two lots: both say R7', () => {
    const { works, plan } = hiddenPlan({ ...SMALL, seed: 3 })
    const of = (piece: PieceInterval) => orderOf(works, piece)
    const grouped = plan.mountings.filter((m) =>
      m.intervals.some((i) => i.use === 'piece' && of(i).sameLotGroup !== null),
    )
    const drums = works.drums.map((d) => (d.drum === grouped[0]!.drum ? { ...d, lot: 'L-other' } : d))
    const changed = { ...works, drums: grouped.length > 1 ? drums : works.drums }
    expect(grouped.length).toBeGreaterThan(1)
    expect(verifyPlan(changed, plan).broken.map((b) => b.rule)).toContain('lots')
    expect(judge(changed, plan).broken.map((b) => b.rule)).toContain('R7')
  })

  it('a piece in more parts than the line allows: both say R6', () => {
    const found = [3, 4, 5, 6, 7, 8, 9]
      .map((seed) => hiddenPlan({ ...SMALL, seed }))
      .find(({ works, plan }) => pieces(plan).some((p) => p.part > 1 && !orderOf(works, p).singleLength))
    expect(found).toBeDefined()
    const { works, plan } = found!
    const orders = works.orders.map((o) => (o.singleLength ? o : { ...o, maxParts: 1 }))
    const changed = { ...works, orders }
    expect(verifyPlan(changed, plan).broken.map((b) => b.rule)).toContain('parts')
    expect(judge(changed, plan).broken.map((b) => b.rule)).toContain('R6')
  })
})
