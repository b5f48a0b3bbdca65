import type { LinearProgramEngine } from '../../src/plan/linear-program.ts'
import type { Plan } from '../../src/plan/plan.ts'
import { verifyClaims } from '../../src/plan/verify.ts'
import { planWorks } from '../../src/solver/plan-works.ts'
import { parseWorks } from '../../src/works/parse-works.ts'
import { planFile } from '../../src/works/plan-file.ts'
import type { Works } from '../../src/works/works.ts'
import { worksFiles } from '../generate/works-files.ts'
import { fuzzWorks } from './fuzz-works.ts'
import type { refereeInProcess } from './referee.ts'

/** Little work, so that many works can be tried: from hardly a plan to some improvement. */
const WORK = [50, 300, 1_000]
/** Referee and verifier each round to cents, one of them a sum of doubles. */
const CENT = 0.0101

/** What came of one random works: `fault` says what went wrong, null where nothing did. */
export interface Fuzzed {
  seed: number
  state: 'refused' | 'planned'
  fault: string | null
  orderLines: number
  drums: number
  unservedPieces: number
  judged: boolean
}

/**
 * Makes the random works of a seed, writes it as files, reads these as a works folder is read, plans it and has the plan checked by the
 * verifier and, where it is at hand, by the referee. Throws only what the product throws: a crash.
 */
export async function fuzzOne(
  seed: number,
  engine: LinearProgramEngine,
  referee: ReturnType<typeof refereeInProcess>,
): Promise<Fuzzed> {
  const made = fuzzWorks(seed)
  const texts = worksFiles(made)
  const encoder = new TextEncoder()
  const read = parseWorks(
    made.folder,
    new Map([...texts].map(([name, text]) => [name, encoder.encode(text)])),
  )
  const size = { seed, orderLines: made.orders.length, drums: made.drums.length }
  if (!read.ok) {
    const silent =
      read.problems.length === 0 || read.problems.some((p) => p.wrong.trim() === '' || p.right.trim() === '')
    const fault = silent ? 'refused without a reason' : null
    return { ...size, state: 'refused', fault, unservedPieces: 0, judged: false }
  }
  const plan = await planWorks(read.works, {
    seconds: 0,
    work: WORK[seed % WORK.length]!,
    seed,
    nowMs: () => 0,
    stopped: () => false,
    onProgress: () => undefined,
    engine,
  })
  const unservedPieces = plan.unserved.reduce((sum, u) => sum + u.pieces, 0)
  const fault = ownFault(read.works, plan) ?? refereeFault(read.works, plan, texts, referee)
  return { ...size, state: 'planned', fault, unservedPieces, judged: referee !== null }
}

function ownFault(works: Works, plan: Plan): string | null {
  const [broken] = verifyClaims(works, plan).broken
  if (broken) return `verifier: ${JSON.stringify(broken)}`
  if (plan.bound.unservedMicro > plan.unservedMicro) return 'the bound on service lies above the plan'
  return null
}

function refereeFault(
  works: Works,
  plan: Plan,
  texts: ReadonlyMap<string, string>,
  referee: ReturnType<typeof refereeInProcess>,
): string | null {
  if (referee === null) return null
  const judged = referee(texts, JSON.stringify(planFile(plan, works)))
  const [broken] = judged.broken
  if (broken) return `referee: ${JSON.stringify(broken)}`
  const apart = (eur: number, micro: number) => Math.abs(eur - micro / 1e6) > CENT
  if (apart(judged.service.unservedEur, plan.unservedMicro)) return 'the referee finds another service'
  if (apart(judged.costEur, plan.costMicro)) return 'the referee finds another cost'
  if (apart(judged.deliveredEur, plan.deliveredMicro)) return 'the referee finds another delivery'
  return null
}
