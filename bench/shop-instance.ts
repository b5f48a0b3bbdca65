import { readFileSync } from 'node:fs'
import type { StockProblem } from '../src/plan/stock/stock-problem.ts'

interface ShopFile {
  name: string
  minRemnant: number
  stocks: { id: string; kind: 'drum' | 'remnant'; startUp: number; cleanStretches: number[] }[]
  lines: { id: string; length: number; quantity: number; priority: number; oneStretch: boolean }[]
}

/** Costs are counted in micrometres of scrap; the files give lengths in millimetres. */
export const COST_PER_M = 1e6
const COST_PER_MM = 1e3

/**
 * One of the shop files with the cost that they state, in metres of scrap: an opened drum 1 m and its start-up loss, a remnant its
 * start-up loss; a leftover below the least remnant its length, a longer one 0.5 m on a drum (nothing on a remnant) and
 * 0.3 · 50 / (r + 50) m with r in metres; a piece not served 100 m a metre times its priority. Stretches that are not cut cost nothing.
 */
export function shopProblem(file: string): StockProblem {
  const { minRemnant, stocks, lines } = JSON.parse(readFileSync(file, 'utf8')) as ShopFile
  const restOf = (kind: 'drum' | 'remnant') => ({
    scrapBelow: minRemnant,
    cost: (rest: number) =>
      rest < minRemnant
        ? rest * COST_PER_MM
        : (kind === 'drum' ? 0.5 * COST_PER_M : 0) +
          Math.round((0.3 * 50 * COST_PER_M * 1000) / (rest + 50_000)),
  })
  const rests = { drum: restOf('drum'), remnant: restOf('remnant') }
  return {
    stocks: stocks.map(({ id, kind, startUp, cleanStretches }) => ({
      id,
      stretches: cleanStretches,
      openCost: startUp * COST_PER_MM + (kind === 'drum' ? COST_PER_M : 0),
      rest: rests[kind],
    })),
    lines: lines.map(({ id, length, quantity, priority, oneStretch }) => ({
      id,
      length,
      quantity,
      unservedCost: 100 * priority * length * COST_PER_MM,
      oneStretch,
    })),
  }
}
