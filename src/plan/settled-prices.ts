import type { MicroEur } from '../quantity/money.ts'
import type { Branching } from './branching.ts'
import { type Duals, mixed } from './duals.ts'
import type { Master } from './master.ts'
import type { Effort, RelaxedPricer } from './relaxed-pricing.ts'

/**
 * Share of the best prices known in the prices asked with: the program's own swing wildly while it knows few fillings. The least of
 * it, what it is multiplied by while prices get better, and the most, which it comes nearer to while they do not. Tuned figures.
 */
const LEAST_SMOOTH = 0.5
const BOLDER = 0.8
const MOST_SMOOTH = 0.93
/** Prices have settled when program and bound lie this near: that much for the type, and as much again for each drum. */
const SETTLED_MICRO = 200_000
const SETTLED_A_DRUM_MICRO = 100_000

type Solved = NonNullable<ReturnType<Master['solve']>>

/** The best prices known, null for none, and what they prove; −Infinity where that is not known yet. */
interface Known {
  centre: Duals | null
  boundMicro: MicroEur
}

interface Asking {
  branching: Branching
  unservedMicro: MicroEur
  effort: Effort
  level: number
  rounds: number
  /** A bound as high is enough. */
  enoughMicro: MicroEur
}

interface Settled extends Known {
  solved: Solved | null
  end: 'enough' | 'late' | 'settled'
}

/**
 * Column generation: prices from the program, fillings at these prices, and the program again with them, until both say
 * nearly the same, the rounds are used up or the turn is over. `over`: a round is broken off.
 */
export function settled(
  master: Master,
  pricer: RelaxedPricer,
  known: Known,
  { branching, unservedMicro, effort, level, rounds, enoughMicro }: Asking,
  { over, late }: { over: () => boolean; late: () => boolean },
): Settled {
  const nearMicro = SETTLED_MICRO + master.instance.drums.length * SETTLED_A_DRUM_MICRO
  let { boundMicro, centre } = known
  let smooth = MOST_SMOOTH
  let usual = MOST_SMOOTH
  master.branch(branching, level)
  let solved = master.solve()
  for (let round = 0; solved && round < rounds; round++) {
    // prices between the program's and the best known ones swing less from round to round
    const share = Number.isFinite(boundMicro) ? smooth : 1
    const duals: Duals = centre ? mixed(centre, solved.duals, share) : solved.duals
    const found = master.bound(pricer, duals, unservedMicro, effort, branching, over)
    if (!found) break
    const better = found.boundMicro > boundMicro
    if (better || !centre) centre = duals
    boundMicro = Math.max(boundMicro, found.boundMicro)
    usual = better ? Math.max(LEAST_SMOOTH, usual * BOLDER) : Math.min(MOST_SMOOTH, (usual + 1) / 2)
    if (boundMicro >= enoughMicro) return { boundMicro, centre, solved, end: 'enough' }
    if (solved.objectiveMicro - boundMicro < nearMicro) break
    for (const priced of found.priced) master.addFilling(priced, level)
    const before: number = solved.objectiveMicro
    solved = master.solve()
    // patterns that are of no use say that the prices were too far from the program's
    smooth = solved && solved.objectiveMicro < before - 1 ? usual : smooth / 2
    if (late()) return { boundMicro, centre, solved, end: 'late' }
  }
  return { boundMicro, centre, solved, end: 'settled' }
}
