import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../src/plan/random.ts'
import { Dive } from '../../src/plan/stock/classic-dive.ts'
import { firstFit, ValueCorrection } from '../../src/plan/stock/classic-greedy.ts'
import { ClassicMaster } from '../../src/plan/stock/classic-master.ts'
import {
  type ClassicProblem,
  classicCost,
  classicFaults,
  normalised,
} from '../../src/plan/stock/classic-problem.ts'
import { type ClassicAnswer, solveClassic } from '../../src/plan/stock/classic-solve.ts'
import { PairBranching } from '../../src/plan/stock/pair-branching.ts'
import { checkValue } from '../data/check-value.ts'
import { leastBars } from './every-plan.ts'
import { manyCopies, triplets, uniform } from './generated.ts'

/** Time as work: so many questions about it, so that a test does not depend on the machine. */
function solved(problem: ClassicProblem, questions = 3000, seed = 1): ClassicAnswer {
  let asked = 0
  const answer = solveClassic(problem, seededRandom(seed), () => asked++ < questions)
  if (answer.plan) expect(classicFaults(answer.problem, answer.plan)).toEqual([])
  expect(answer.bound).toBeLessThanOrEqual(answer.cost)
  return answer
}

describe('published instances', () => {
  // classic paper-roll cutting stock: 13 widths from masters of 5600 mm, 73 masters
  it('the paper-roll example takes 73 masters, proven', () => {
    const { inputs, expected } = checkValue<{ L: number; w: number[]; q: number[] }, { opt: number }>(
      'or.csp.5600',
    )
    const answer = solved({
      pieces: inputs.w.map((length, i) => ({ length, demand: inputs.q[i]! })),
      bars: [{ length: inputs.L, copies: Number.MAX_SAFE_INTEGER, cost: 1 }],
    })
    expect(answer.cost).toBe(expected.opt)
    expect(answer.bound).toBe(expected.opt)
  })

  // Falkenauer u120_00 of OR-Library (binpack1): 48 bins
  it('u120_00 takes 48 bins, proven', () => {
    const { inputs, expected } = checkValue<{ cap: number; items: number[] }, { opt: number }>(
      'or.bpp.u120_00',
    )
    const answer = solved({
      pieces: inputs.items.map((length) => ({ length, demand: 1 })),
      bars: [{ length: inputs.cap, copies: Number.MAX_SAFE_INTEGER, cost: 1 }],
    })
    expect(answer.cost).toBe(expected.opt)
    expect(answer.bound).toBe(expected.opt)
  })
})

describe('generated instances', () => {
  // optimum by construction: every bar is filled to the end
  it.each([20, 40, 83])('triplets in %i bars are put together again', (bars) => {
    const answer = solved(triplets(seededRandom(bars), bars))
    expect(answer.cost).toBe(bars)
    expect(answer.bound).toBe(bars)
  })

  it('uniform lengths and many copies are solved to within one bar', () => {
    for (let seed = 1; seed <= 4; seed++) {
      const random = seededRandom(seed)
      for (const problem of [uniform(random, 120, 150, 20, 100), manyCopies(random, 25, 1000, 12)]) {
        const answer = solved(problem)
        const length = problem.pieces.reduce((sum, p) => sum + p.length * p.demand, 0)
        expect(answer.bound).toBeGreaterThanOrEqual(Math.ceil(length / problem.bars[0]!.length))
        expect(answer.cost - answer.bound).toBeLessThanOrEqual(1)
      }
    }
  })

  it('are proven best where every plan can be tried', () => {
    const random = seededRandom(7)
    for (let k = 0; k < 100; k++) {
      const problem = uniform(random, 4 + (k % 6), 30, 3, 20)
      const least = leastBars(problem)
      expect(solved(problem)).toMatchObject({ cost: least, bound: least })
    }
  })

  it('with several bar lengths have a bound never above the least cost and mostly the best plan', () => {
    const random = seededRandom(8)
    let met = 0
    for (let k = 0; k < 100; k++) {
      const problem = uniform(random, 4 + (k % 5), 30, 3, 20)
      problem.bars = [
        { length: 30, copies: 1 + (k % 4), cost: 30 },
        { length: 21, copies: 9, cost: 22 },
        { length: 24, copies: k % 3, cost: 24 },
      ]
      const least = leastBars(problem)
      const answer = solved(problem, 600)
      expect(answer.bound).toBeLessThanOrEqual(least)
      expect(answer.cost).toBeGreaterThanOrEqual(least)
      if (answer.cost === least) met++
    }
    process.stdout.write(`several bar lengths: best plan met ${met} of 100\n`)
    expect(met).toBeGreaterThanOrEqual(80)
  })

  it('are the same again for the same seed and work', () => {
    const problem = uniform(seededRandom(5), 100, 1000, 100, 700)
    expect(solved(problem, 60, 4)).toEqual(solved(problem, 60, 4))
  })

  it('off any grid and on long bars take no table', () => {
    const random = seededRandom(9)
    const problem = uniform(random, 60, 4_000_000_007 % 2_000_000_011, 300_000_001, 900_000_007)
    const answer = solved(problem, 400)
    expect(answer.plan).not.toBeNull()
    expect(answer.cost - answer.bound).toBeLessThanOrEqual(1)
  })
})

describe('a plan of which a few bars are cut anew', () => {
  it('keeps the rules, costs no more than was asked for, and costs less than first fit', () => {
    const random = seededRandom(11)
    const problem = normalised(uniform(random, 60, 1000, 60, 900))
    // limited copies of lengths that no pair of pieces fills by itself
    problem.bars = [1040, 1180, 1310, 1470, 1610].map((length) => ({ length, copies: 8, cost: length }))
    const demand = Int32Array.from(problem.pieces, (p) => p.demand)
    const first = firstFit(problem, { demand, supply: Int32Array.from(problem.bars, (b) => b.copies) })!
    const master = new ClassicMaster(problem, random, () => true)
    master.settle(0)
    const dive = new Dive(master, new ValueCorrection(problem, random), 1, random, () => true)
    let plan = first
    for (let n = 0; n < 40; n++) {
      const target = classicCost(problem, plan) - 1
      const other = dive.mend(plan, target)
      if (!other) continue
      expect(classicFaults(problem, other)).toEqual([])
      expect(classicCost(problem, other)).toBeLessThanOrEqual(target)
      plan = other
    }
    expect(classicCost(problem, plan)).toBeLessThan(classicCost(problem, first))
  })
})

describe('what cannot be', () => {
  it('is proven: too few bars of the only length that takes a piece', () => {
    const answer = solveClassic(
      {
        pieces: [{ length: 8, demand: 3 }],
        bars: [
          { length: 10, copies: 2, cost: 10 },
          { length: 7, copies: 50, cost: 7 },
        ],
      },
      seededRandom(1),
      () => true,
    )
    expect(answer.plan).toBeNull()
    expect(answer.bound).toBe(Number.POSITIVE_INFINITY)
  })

  it('is refused: a piece longer than every bar', () => {
    expect(() =>
      normalised({ pieces: [{ length: 11, demand: 1 }], bars: [{ length: 10, copies: 1, cost: 1 }] }),
    ).toThrow(RangeError)
  })
})

describe('branching on pairs', () => {
  it('rules out one bar less than the least, and finds the least', () => {
    const random = seededRandom(3)
    for (let k = 0; k < 60; k++) {
      const problem = normalised(uniform(random, 9, 100, 15, 60))
      const least = leastBars(problem)
      const run = (most: number) => {
        const pairs = new PairBranching(problem, most, [], () => true)
        return pairs.run(5000)
      }
      expect(run(least - 1)).toBe('none')
      const plan = run(least)
      if (typeof plan === 'string') throw new Error(plan)
      expect(classicFaults(problem, plan)).toEqual([])
      expect(plan.length).toBeLessThanOrEqual(least)
    }
  })
})

describe('the check of a plan', () => {
  const problem = normalised({
    pieces: [{ length: 4, demand: 3 }],
    bars: [{ length: 10, copies: 2, cost: 1 }],
  })

  it('finds what is wrong with one', () => {
    const good = [
      { bar: 0, times: 1, counts: [2] },
      { bar: 0, times: 1, counts: [1] },
    ]
    expect(classicFaults(problem, good)).toEqual([])
    expect(classicFaults(problem, good.slice(1))).toHaveLength(1)
    expect(classicFaults(problem, [{ bar: 0, times: 1, counts: [3] }])).toHaveLength(1)
    expect(classicFaults(problem, [{ bar: 0, times: 3, counts: [1] }])).toHaveLength(1)
    expect(classicFaults(problem, [{ bar: 1, times: 3, counts: [1] }, ...good])).toHaveLength(1)
  })
})
