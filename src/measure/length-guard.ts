import { umFromM } from '../quantity/length.ts'
import type { CounterBudget } from './counter-budget.ts'
import { instrumentLimit, type StatutoryRule } from './instrument-limit.ts'
import { UNIT_SHORT_RATIO } from './prepack-rule.ts'
import { studentQuantile } from './student-distribution.ts'

/** Share of pieces that may turn out short where none should be: z = 2, common practice (JCGM 106:2012 8.3.2 guards by k·u alike). */
export const SHORT_RISK = 0.02275

/** Least length an instrument of the directive may measure is on its plate; where nothing is known of it, a metre. */
const LEAST_LENGTH_M = 1

export type LengthRule =
  /** No piece short, in whatever unit is printed; also what is cut to order under any rule. */
  | { kind: 'none short' }
  /** Mean of the batch at least nominal and no unit more than 2 % short: only for prepacked lots with their sample test. */
  | { kind: 'batch mean' }
  /** The law limits the instrument: a piece may be short by as much as the counter may show too much. */
  | { kind: 'statutory'; rule: StatutoryRule }

/**
 * Guard on corrected lengths, as a ratio: a piece declared L is cut L·(1 + g). The correction takes out the error of the counter;
 * the guard covers what is left unknown and nothing else, so the error is never counted twice. g = k·u, k one-sided from
 * Student's t at the effective degrees of freedom.
 */
export function lengthGuardRatio(rule: LengthRule, { piece, common, pieceM }: CounterBudget): number {
  const of = (u: { standard: number; freedom: number }) =>
    studentQuantile(1 - SHORT_RISK, u.freedom) * u.standard
  switch (rule.kind) {
    case 'none short':
      return of(piece)
    case 'batch mean':
      return Math.max(of(common), of(piece) - UNIT_SHORT_RATIO)
    case 'statutory': {
      const { shortUm } = instrumentLimit(rule.rule, umFromM(pieceM), umFromM(LEAST_LENGTH_M))
      return Math.max(0, of(piece) - shortUm / umFromM(pieceM))
    }
  }
}

/** How probable it is that a piece cut with a guard is short of what is declared. */
export function shortProbability(
  guardRatio: number,
  budget: CounterBudget,
  tail: (t: number, freedom: number) => number,
): number {
  const { standard, freedom } = budget.piece
  const t = guardRatio / standard
  const half = tail(Math.abs(t), freedom) / 2
  return t < 0 ? 1 - half : half
}
