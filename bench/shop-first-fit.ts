import type { StockPlan, StockProblem } from '../src/plan/stock/stock-problem.ts'

/** First fit decreasing: longest piece first, into the first open stretch that takes it, else into the next stock, remnants first. */
export function shopFirstFit(problem: StockProblem): StockPlan {
  const { stocks, lines } = problem
  const rest = stocks.map((stock) => stock.stretches.slice())
  const cuts: StockPlan['cuts'] = stocks.map((stock) => stock.stretches.map(() => []))
  const size = (b: number) => stocks[b]!.stretches.reduce((sum, x) => sum + x, 0)
  const places = stocks
    .map((_, b) => b)
    .sort((a, b) => stocks[a]!.openCost - stocks[b]!.openCost || size(a) - size(b))
  const opened: number[] = []
  const unit = (i: number) => (lines[i]!.oneStretch ? lines[i]!.quantity : 1)
  const order = lines.map((_, i) => i).sort((a, b) => unit(b) * lines[b]!.length - unit(a) * lines[a]!.length)
  const put = (b: number, line: number, units: number): number => {
    const length = unit(line) * lines[line]!.length
    let left = units
    for (let s = 0; s < rest[b]!.length && left > 0; s++) {
      const n = Math.min(left, Math.floor(rest[b]![s]! / length))
      if (n === 0) continue
      rest[b]![s] = rest[b]![s]! - n * length
      cuts[b]![s]!.push({ line, count: n * unit(line) })
      left -= n
    }
    return left
  }
  for (const line of order) {
    let left = lines[line]!.quantity / unit(line)
    for (const b of opened) if (left > 0) left = put(b, line, left)
    for (const b of places) {
      if (left === 0) break
      if (opened.includes(b)) continue
      const after = put(b, line, left)
      if (after < left) opened.push(b)
      left = after
    }
  }
  return { cuts }
}
