import { readFileSync } from 'node:fs'
import type { StockProblem } from '../src/plan/stock/stock-problem.ts'

/**
 * Reads a multiple-knapsack file of whole numbers: number of sacks, number of items, the room of each sack, then weight and profit of each
 * item. As a stock problem: a sack is a remnant that costs nothing to open, an item not packed costs its profit. Null for anything else.
 */
export function sackProblem(file: string): { problem: StockProblem; profit: number } | null {
  const numbers = readFileSync(file, 'utf8').trim().split(/\s+/).map(Number)
  if (!numbers.every((x) => Number.isSafeInteger(x) && x >= 0)) return null
  const [sacks, items] = numbers
  if (sacks === undefined || items === undefined || numbers.length !== 2 + sacks + 2 * items) return null
  const rest = { scrapBelow: 0, cost: () => 0 }
  const stocks = numbers
    .slice(2, 2 + sacks)
    .map((room, k) => ({ id: `sack ${k + 1}`, stretches: [room], openCost: 0, rest }))
  const lines: StockProblem['lines'] = []
  for (let at = 2 + sacks; at < numbers.length; at += 2)
    lines.push({
      id: `item ${lines.length + 1}`,
      length: numbers[at]!,
      quantity: 1,
      unservedCost: numbers[at + 1]!,
      oneStretch: false,
    })
  return { problem: { stocks, lines }, profit: lines.reduce((sum, l) => sum + l.unservedCost, 0) }
}
