import type { Random } from '../src/plan/random.ts'
import type { StockPlan, StockProblem } from '../src/plan/stock/stock-problem.ts'

const FAULT_MM = 500

/** The problem after a fault was found somewhere on a stretch that the plan cuts. */
export function withFault(problem: StockProblem, plan: StockPlan, random: Random): StockProblem {
  const places = plan.cuts.flatMap((stretches, b) =>
    stretches.flatMap((cut, s) => (cut.length > 0 ? [{ b, s }] : [])),
  )
  const { b, s } = places[Math.floor(random() * places.length)]!
  const stock = problem.stocks[b]!
  const length = stock.stretches[s]!
  const at = Math.floor(random() * (length - FAULT_MM))
  const parts = [at, length - at - FAULT_MM].filter((part) => part > 0)
  const stretches = stock.stretches.flatMap((whole, i) => (i === s ? parts : [whole]))
  const stocks = problem.stocks.slice()
  stocks[b] = { ...stock, stretches }
  return { ...problem, stocks }
}
