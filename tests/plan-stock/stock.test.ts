import { describe, expect, it } from 'vitest'
import { withFault } from '../../bench/shop-faults.ts'
import { shopFirstFit } from '../../bench/shop-first-fit.ts'
import { shopProblem } from '../../bench/shop-instance.ts'
import { seededRandom } from '../../src/plan/random.ts'
import { judgedPlan } from '../../src/plan/stock/stock-plan.ts'
import type { StockProblem } from '../../src/plan/stock/stock-problem.ts'
import { StockSolver } from '../../src/plan/stock/stock-solver.ts'
import { leastOfAll } from './every-plan.ts'
import { tinyStock } from './generated.ts'

function improved(problem: StockProblem, rounds: number, seed = 1): StockSolver {
  const solver = new StockSolver(problem, seededRandom(seed))
  for (let k = 0; k < rounds; k++) if (!solver.improve()) break
  expect(judgedPlan(problem, solver.plan)).toEqual({ cost: solver.cost, faults: [] })
  expect(solver.bound).toBeLessThanOrEqual(solver.cost)
  return solver
}

describe('tiny works, where every plan can be tried', () => {
  it('have a bound that is never above the least cost, and a plan that is never below', () => {
    const random = seededRandom(11)
    let met = 0
    let proven = 0
    for (let k = 0; k < 400; k++) {
      const problem = tinyStock(random)
      const least = leastOfAll(problem)
      const solver = improved(problem, 12)
      expect(solver.bound, JSON.stringify(problem)).toBeLessThanOrEqual(least)
      expect(solver.cost, JSON.stringify(problem)).toBeGreaterThanOrEqual(least)
      if (solver.cost === least) met++
      if (solver.bound === least) proven++
    }
    process.stdout.write(`tiny works: best plan met ${met} of 400, proven ${proven}\n`)
    expect(met).toBeGreaterThanOrEqual(380)
    expect(proven).toBeGreaterThanOrEqual(355)
  })

  it('have a bound that more stock never raises and more to serve never lowers', () => {
    const random = seededRandom(12)
    for (let k = 0; k < 100; k++) {
      const problem = tinyStock(random)
      const other = tinyStock(random)
      const { bound } = improved(problem, 3)
      const stocks = [...problem.stocks, { ...other.stocks[0]!, id: 'more' }]
      expect(leastOfAll({ ...problem, stocks })).toBeGreaterThanOrEqual(
        improved({ ...problem, stocks }, 3).bound,
      )
      expect(leastOfAll({ ...problem, stocks })).toBeLessThanOrEqual(leastOfAll(problem))
      expect(bound).toBeLessThanOrEqual(leastOfAll(problem))
    }
  }, 60_000)
})

describe('nothing to do', () => {
  const rest = { scrapBelow: 5, cost: (length: number) => (length < 5 ? length : 1) }
  const stock = { id: 'S', stretches: [10, 3], openCost: 3, rest }
  const line = { id: 'L', length: 50, quantity: 2, unservedCost: 500, oneStretch: false }

  it.each([
    { name: 'no stock, no line', problem: { stocks: [], lines: [] }, cost: 0 },
    { name: 'no line', problem: { stocks: [stock], lines: [] }, cost: 0 },
    { name: 'no stock', problem: { stocks: [], lines: [line] }, cost: 1000 },
    { name: 'nothing fits', problem: { stocks: [stock], lines: [line] }, cost: 1000 },
    {
      name: 'a stock without a stretch',
      problem: { stocks: [{ ...stock, stretches: [] }], lines: [line] },
      cost: 1000,
    },
  ])('$name', ({ problem, cost }) => {
    const solver = improved(problem, 20)
    expect(solver.cost).toBe(cost)
    expect(solver.bound).toBe(cost)
  })
})

describe('shop files', () => {
  it.each(['small-1', 'small-6', 'medium-3', 'large-2'])(
    '%s: plan and bound stand from the start and only get better',
    (name) => {
      const problem = shopProblem(`bench/shop/${name}.json`)
      const first = improved(problem, 0)
      const later = improved(problem, 6)
      expect(later.cost).toBeLessThanOrEqual(first.cost)
      expect(later.bound).toBeGreaterThanOrEqual(first.bound)
      const greedy = judgedPlan(problem, shopFirstFit(problem))
      expect(greedy.faults).toEqual([])
      expect(later.cost).toBeLessThan(greedy.cost)
    },
  )

  // throw-away prototype of the same files: a direct model in a linear-programming library found 4.215 m as the optimum of small-1,
  // with lengths cut down to the 50 mm grid; ours counts the last millimetres as well
  it('small-1 is solved to the end', () => {
    const solver = improved(shopProblem('bench/shop/small-1.json'), 12)
    expect(solver.cost / 1e6).toBeCloseTo(4.22, 1)
    expect(solver.cost - solver.bound).toBeLessThan(0.05e6)
  })

  // prices alone leave a gap of 0.1 and 0.2 m: the odd lengths have to be counted
  it.each(['small-2', 'small-5'])('%s is solved to the end by counting', (name) => {
    const problem = shopProblem(`bench/shop/${name}.json`)
    const solver = improved(problem, 60)
    expect(solver.cost - solver.bound).toBeLessThan(0.05e6)
  })

  it('are the same again for the same seed and work', () => {
    const problem = shopProblem('bench/shop/medium-1.json')
    expect(improved(problem, 4, 3).plan).toEqual(improved(problem, 4, 3).plan)
  })

  it('are repaired after faults, with a bound, and what can be served still is', () => {
    let problem = shopProblem('bench/shop/small-2.json')
    const solver = improved(problem, 6)
    const random = seededRandom(2)
    for (let k = 0; k < 6; k++) {
      problem = withFault(problem, solver.plan, random)
      solver.repair(problem)
      expect(judgedPlan(problem, solver.plan)).toEqual({ cost: solver.cost, faults: [] })
      expect(solver.bound).toBeLessThanOrEqual(solver.cost)
      // a metre that is not served costs 100 m: everything is served as long as the whole plan costs less than half a metre does
      expect(solver.cost / 1e6).toBeLessThan(50)
    }
  })
})

describe('lengths off any grid', () => {
  it('in micrometres, with no common divisor, on drums of 4000 m', () => {
    const { stocks, lines } = shopProblem('bench/shop/small-4.json')
    const problem: StockProblem = {
      stocks: stocks.map((stock, b) => ({
        ...stock,
        stretches: stock.stretches.map((length) => length * 1000 + b),
        rest: { scrapBelow: 5_000_000, cost: (rest) => stock.rest.cost(Math.floor(rest / 1000)) },
      })),
      lines: lines.map((line, i) => ({
        ...line,
        length: line.length * 1000 + (i % 2 === 0 ? 7 * i + 1 : 400),
      })),
    }
    const solver = improved(problem, 4)
    expect(solver.bound).toBeGreaterThan(0)
    expect(solver.cost).toBeLessThan(20e6)
  })
})

describe('the check of a plan', () => {
  const problem: StockProblem = {
    stocks: [
      { id: 'S', stretches: [10, 10], openCost: 5, rest: { scrapBelow: 3, cost: (r) => (r < 3 ? r : 1) } },
    ],
    lines: [
      { id: 'A', length: 4, quantity: 2, unservedCost: 100, oneStretch: true },
      { id: 'B', length: 3, quantity: 1, unservedCost: 50, oneStretch: false },
    ],
  }

  it('counts opening, rests and what is missing, from the problem alone', () => {
    expect(judgedPlan(problem, { cuts: [[[], []]] })).toEqual({ cost: 250, faults: [] })
    expect(judgedPlan(problem, { cuts: [[[{ line: 0, count: 2 }], []]] })).toEqual({
      cost: 5 + 2 + 50,
      faults: [],
    })
    expect(judgedPlan(problem, { cuts: [[[{ line: 0, count: 2 }], [{ line: 1, count: 1 }]]] }).cost).toBe(
      5 + 2 + 1,
    )
  })

  it('finds what is wrong', () => {
    const faults = (...cuts: { line: number; count: number }[][]) =>
      judgedPlan(problem, { cuts: [cuts] }).faults
    expect(faults([{ line: 0, count: 1 }], [{ line: 0, count: 1 }])).toHaveLength(1)
    expect(faults([{ line: 1, count: 2 }], [])).toHaveLength(1)
    expect(
      faults(
        [
          { line: 0, count: 2 },
          { line: 1, count: 1 },
        ],
        [],
      ),
    ).toHaveLength(1)
  })
})
