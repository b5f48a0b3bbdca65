import { readFileSync } from 'node:fs'
import type { ClassicProblem } from '../src/plan/stock/classic-problem.ts'

/**
 * Reads a cutting-stock file of whole numbers. One bar length: number of kinds, bar length, then length and demand of each kind.
 * Several: number of bars, then length, copies and cost of each, number of kinds, then length and demand of each. Null for anything
 * else (a multiple-knapsack file, for one).
 */
export function classicProblem(file: string): ClassicProblem | null {
  const numbers = readFileSync(file, 'utf8').trim().split(/\s+/).map(Number)
  if (!numbers.every((x) => Number.isSafeInteger(x) && x >= 0)) return null
  return oneLength(numbers) ?? severalLengths(numbers)
}

function oneLength(numbers: number[]): ClassicProblem | null {
  const [kinds, length] = numbers
  if (kinds === undefined || length === undefined || numbers.length !== 2 + 2 * kinds) return null
  const copies = Number.MAX_SAFE_INTEGER
  return { pieces: piecesFrom(numbers, 2), bars: [{ length, copies, cost: 1 }] }
}

function severalLengths(numbers: number[]): ClassicProblem | null {
  const bars = numbers[0]!
  const at = 1 + 3 * bars
  const kinds = numbers[at]
  if (kinds === undefined || numbers.length !== at + 1 + 2 * kinds) return null
  return {
    pieces: piecesFrom(numbers, at + 1),
    bars: Array.from({ length: bars }, (_, k) => ({
      length: numbers[1 + 3 * k]!,
      copies: numbers[2 + 3 * k]!,
      cost: numbers[3 + 3 * k]!,
    })),
  }
}

function piecesFrom(numbers: number[], at: number): ClassicProblem['pieces'] {
  const pieces: ClassicProblem['pieces'] = []
  for (let i = at; i < numbers.length; i += 2) pieces.push({ length: numbers[i]!, demand: numbers[i + 1]! })
  return pieces
}
