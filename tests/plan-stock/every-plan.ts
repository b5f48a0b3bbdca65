import type { ClassicProblem } from '../../src/plan/stock/classic-problem.ts'
import { judgedPlan } from '../../src/plan/stock/stock-plan.ts'
import type { StockPlan, StockProblem } from '../../src/plan/stock/stock-problem.ts'

/** Least cost of all plans of a tiny works: every piece tried on every stretch and on none. */
export function leastOfAll(problem: StockProblem): number {
  const places = problem.stocks.flatMap((stock, b) => stock.stretches.map((_, s) => ({ b, s })))
  const pieces = problem.lines.flatMap((line, i) => new Array<number>(line.quantity).fill(i))
  let least = Number.POSITIVE_INFINITY
  const chosen: number[] = []
  const tryAll = (k: number): void => {
    if (k === pieces.length) {
      const { cost, faults } = judgedPlan(problem, planOf(problem, places, pieces, chosen))
      if (faults.length === 0) least = Math.min(least, cost)
      return
    }
    for (let place = -1; place < places.length; place++) {
      chosen[k] = place
      tryAll(k + 1)
    }
  }
  tryAll(0)
  return least
}

function planOf(
  problem: StockProblem,
  places: { b: number; s: number }[],
  pieces: number[],
  chosen: number[],
): StockPlan {
  const cuts: StockPlan['cuts'] = problem.stocks.map((stock) => stock.stretches.map(() => []))
  pieces.forEach((line, k) => {
    if (chosen[k]! < 0) return
    const { b, s } = places[chosen[k]!]!
    const same = cuts[b]![s]!.find((cut) => cut.line === line)
    if (same) same.count++
    else cuts[b]![s]!.push({ line, count: 1 })
  })
  return { cuts }
}

/** Least cost of bars for a few pieces: every piece into every open bar and one new bar of each kind. */
export function leastBars({ pieces, bars }: ClassicProblem): number {
  const lengths = pieces.flatMap((piece) => new Array<number>(piece.demand).fill(piece.length))
  lengths.sort((a, b) => b - a)
  let least = Number.POSITIVE_INFINITY
  const rooms: number[] = []
  const used = bars.map(() => 0)
  const tryAll = (k: number, cost: number): void => {
    if (cost >= least) return
    if (k === lengths.length) {
      least = cost
      return
    }
    const length = lengths[k]!
    for (let r = 0; r < rooms.length; r++) {
      if (rooms[r]! < length || rooms.indexOf(rooms[r]!) < r) continue
      rooms[r] = rooms[r]! - length
      tryAll(k + 1, cost)
      rooms[r] = rooms[r]! + length
    }
    bars.forEach((bar, b) => {
      if (bar.length < length || used[b]! >= bar.copies) return
      used[b] = used[b]! + 1
      rooms.push(bar.length - length)
      tryAll(k + 1, cost + bar.cost)
      rooms.pop()
      used[b] = used[b]! - 1
    })
  }
  tryAll(0, 0)
  return least
}
