import type { StockLayout } from './stock-layout.ts'
import type { StockPlan, StockProblem } from './stock-problem.ts'

export type { StockPlan }

/** The layout in terms of the order lines: pieces of a kind go to its lines in turn. */
export function planOf(layout: StockLayout): StockPlan {
  const left = layout.kinds.map((kind) => kind.lines.map((line) => line.units))
  const cuts = layout.cuts.map((stretches) =>
    stretches.map((cut) => {
      const pieces: { line: number; count: number }[] = []
      for (const { kind, count } of cut) {
        let open = count
        layout.kinds[kind]!.lines.forEach(({ line, piecesPerUnit }, k) => {
          const n = Math.min(open, left[kind]![k]!)
          if (n === 0) return
          left[kind]![k] = left[kind]![k]! - n
          open -= n
          pieces.push({ line, count: n * piecesPerUnit })
        })
      }
      return pieces
    }),
  )
  return { cuts }
}

/** What a plan costs, from the problem alone, and what is wrong with it. Knows nothing of how it was found. */
export function judgedPlan(problem: StockProblem, plan: StockPlan): { cost: number; faults: string[] } {
  const faults: string[] = []
  const served = problem.lines.map(() => 0)
  const whole = problem.lines.map(() => 0)
  let cost = 0
  problem.stocks.forEach((stock, b) => {
    let opened = false
    stock.stretches.forEach((length, s) => {
      const cut = plan.cuts[b]?.[s] ?? []
      let rest = length
      for (const { line, count } of cut) {
        if (!Number.isSafeInteger(count) || count < 1) faults.push(`${stock.id}: ${count} pieces`)
        rest -= count * problem.lines[line]!.length
        served[line] = served[line]! + count
        if (count === problem.lines[line]!.quantity) whole[line] = 1
      }
      if (rest < 0) faults.push(`${stock.id}, stretch ${s + 1}: ${-rest} too long`)
      if (cut.length === 0) return
      opened = true
      cost += stock.rest.cost(rest)
    })
    if (opened) cost += stock.openCost
  })
  problem.lines.forEach((line, i) => {
    const missing = line.quantity - served[i]!
    if (missing < 0) faults.push(`${line.id}: ${-missing} too many`)
    if (line.oneStretch && missing < line.quantity && whole[i] === 0)
      faults.push(`${line.id} is not from one stretch`)
    cost += missing * line.unservedCost
  })
  return { cost, faults }
}
