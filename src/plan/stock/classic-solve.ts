import type { Random } from '../random.ts'
import { Dive } from './classic-dive.ts'
import { firstFit, ValueCorrection } from './classic-greedy.ts'
import { ClassicMaster } from './classic-master.ts'
import { type ClassicProblem, type CutBars, classicCost, normalised } from './classic-problem.ts'
import { commonDivisor } from './common-divisor.ts'
import { PairBranching } from './pair-branching.ts'

export interface ClassicAnswer {
  /** The problem that the plan's counts belong to: equal lengths merged, longest first. */
  problem: ClassicProblem
  plan: CutBars[] | null
  cost: number
  /** Proven in whole numbers. */
  bound: number
}

/** Up to so many pieces pairs are branched on, so many nodes after a dive, and more after each. */
const BRANCHED_PIECES = 300
const BRANCHED_NODES = 10
/** With more pieces than this a few dives come first. */
const QUICKLY_BRANCHED = 80
const DIVES_FIRST = 4

/**
 * Where there are several bar lengths to choose from and the plan lies further than this above its bound, a few of its bars are cut anew
 * so many times after each dive. Tuned figures.
 */
const FAR = 0.001
const MENDINGS = 6

/** Solves a cutting-stock problem until it is proven, or `clock` says that the time is over. */
export function solveClassic(given: ClassicProblem, random: Random, clock: () => boolean): ClassicAnswer {
  const problem = normalised(given)
  const { pieces, bars } = problem
  const step = bars.reduce((common, bar) => commonDivisor(common, bar.cost), 0)
  const pieceCount = pieces.reduce((sum, piece) => sum + piece.demand, 0)
  const residual = {
    demand: Int32Array.from(pieces, (piece) => piece.demand),
    supply: Int32Array.from(bars, (bar) => Math.min(bar.copies, pieceCount)),
  }
  let plan = firstFit(problem, residual)
  let cost = plan ? classicCost(problem, plan) : Number.POSITIVE_INFINITY
  const better = (other: CutBars[] | null) => {
    if (other === null || classicCost(problem, other) >= cost) return
    plan = other
    cost = classicCost(problem, other)
  }
  const correction = new ValueCorrection(problem, random)
  const master = new ClassicMaster(problem, random, clock)
  if (plan) for (const { bar, counts } of plan) master.addPlanned(bar, counts)
  let bound = master.settle(0).proven
  if (master.missing()) {
    master.insist()
    bound = master.settle(0).proven
    // not even all bars together cost as much: no plan serves everything
    if (bound > bars.reduce((sum, bar, k) => sum + bar.cost * residual.supply[k]!, 0))
      return { problem, plan: null, cost: Number.POSITIVE_INFINITY, bound: Number.POSITIVE_INFINITY }
  }
  for (let r = 0; r < 3 && cost > bound; r++) better(correction.round(residual, cost - step))
  const dive = new Dive(master, correction, step, random, clock)
  const branchable = bars.length === 1 && bars[0]!.copies >= pieceCount && pieceCount <= BRANCHED_PIECES
  const branching = () =>
    new PairBranching(
      problem,
      bound / step,
      master.used().map(({ column }) => master.patterns[column]!),
      clock,
    )
  let pairs: PairBranching | null = null
  for (let tries = 0; cost > bound && clock(); tries++) {
    const target = tries % 3 === 2 ? bound : Math.max(bound, cost - step)
    const any = cost === Number.POSITIVE_INFINITY
    better(dive.run(any ? Number.MAX_SAFE_INTEGER : target, Math.min(tries, 3), 5 + 10 * tries))
    for (let n = 0; n < MENDINGS && bars.length > 1 && plan && cost > bound * (1 + FAR) && clock(); n++)
      better(dive.mend(plan, cost - step))
    if (!branchable || cost <= bound || (pieceCount > QUICKLY_BRANCHED && tries < DIVES_FIRST)) continue
    pairs ??= branching()
    const answer = pairs.run(BRANCHED_NODES * (tries + 1))
    if (answer === 'none') {
      bound += step
      pairs = null
    } else if (answer !== 'not yet') better(answer)
  }
  return { problem, plan, cost, bound }
}
