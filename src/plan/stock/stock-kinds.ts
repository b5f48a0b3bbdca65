import type { StockProblem } from './stock-problem.ts'

/**
 * Lines that a plan need not tell apart: equal length and equal cost of not being served. A line that must come from one stretch
 * whole is a single piece as long as all its pieces together.
 */
export interface StockKind {
  length: number
  demand: number
  unservedCost: number
  /** Lines behind it, each with the pieces that one unit of the kind stands for. */
  lines: { line: number; units: number; piecesPerUnit: number }[]
}

export function stockKinds(problem: StockProblem): StockKind[] {
  const longest = Math.max(0, ...problem.stocks.flatMap((stock) => stock.stretches))
  const kinds = new Map<string, StockKind>()
  problem.lines.forEach(({ length, quantity, unservedCost, oneStretch }, line) => {
    const whole = oneStretch && quantity > 1
    const unit = whole ? length * quantity : length
    const cost = whole ? unservedCost * quantity : unservedCost
    const units = whole ? 1 : quantity
    // what fits nowhere is a kind of its own: it can only be unserved
    const key = unit > longest ? `unfit ${line}` : `${unit} ${cost}`
    const kind = kinds.get(key) ?? { length: unit, demand: 0, unservedCost: cost, lines: [] }
    kind.demand += units
    kind.lines.push({ line, units, piecesPerUnit: whole ? quantity : 1 })
    kinds.set(key, kind)
  })
  return [...kinds.values()].sort((a, b) => b.length - a.length || b.unservedCost - a.unservedCost)
}
