import { availableParallelism } from 'node:os'
import { fileURLToPath } from 'node:url'
import { verifyClaims } from '../src/plan/verify.ts'
import { bestOfAll } from '../tests/plan/best-of-all.ts'
import { planned } from '../tests/plan/planned.ts'
import { tinyWorks } from '../tests/plan/tiny-works.ts'
import { gathered } from './gathered.ts'
import { keepResult, markdownTable } from './measured.ts'

/**
 * Random works so small that every plan can be tried: whether the planner finds the best of them, and whether its bound lies above none.
 * `npm run bench -- exhaustive [count] [first seed]`.
 */

const COUNT = 500
const FIRST_SEED = 1
/** Seconds of a clock that goes on a millisecond each time it is looked at: the same plan on every machine. */
const CLOCK_SECONDS = 3
/** Micro-euro by which a sum over pieces may differ from the same sum over lines. */
const ROUNDING_MICRO = 10
/** What a person would call nothing. */
const CENT_MICRO = 10_000
const SAID_EVERY = 25

interface Compared {
  seed: number
  /** A piece may come in parts, of which not every length was tried: the planner may then do better. */
  parts: boolean
  servesLess: boolean
  servesMore: boolean
  /** Micro-euro above the best plan that serves as much; null where the service differs. */
  aboveBestMicro: number | null
  /** Whether the bounds of the plan leave no room: it says itself that it is the best there is. */
  proven: boolean
  tried: number
  faults: string[]
}

async function compare(seed: number): Promise<Compared> {
  const works = tinyWorks(seed)
  const { verdict: best, tried } = bestOfAll(works)
  const plan = await planned(works, CLOCK_SECONDS)
  const faults = verifyClaims(works, plan).broken.map((b) => `seed ${seed}: ${JSON.stringify(b)}`)
  const parts = works.orders.some((o) => !o.singleLength)
  const servesLess = plan.unservedMicro > best.unservedMicro + ROUNDING_MICRO
  const servesMore = plan.unservedMicro < best.unservedMicro - ROUNDING_MICRO
  const sameService = !servesLess && !servesMore
  if (plan.bound.unservedMicro > best.unservedMicro + ROUNDING_MICRO)
    faults.push(`seed ${seed}: the bound on service lies above the best plan`)
  if (sameService && plan.bound.costMicro > best.costMicro)
    faults.push(`seed ${seed}: the bound on cost lies above the best plan`)
  return {
    seed,
    parts,
    servesLess,
    servesMore,
    aboveBestMicro: sameService ? plan.costMicro - best.costMicro : null,
    proven:
      plan.unservedMicro - plan.bound.unservedMicro <= ROUNDING_MICRO &&
      plan.costMicro - plan.bound.costMicro <= CENT_MICRO,
    tried,
    faults,
  }
}

function report(all: Compared[], count: number): void {
  const short = all.length < count ? ` Stopped early: ${count} were asked for.` : ''
  const atCost = all.flatMap((c) => (c.aboveBestMicro === null ? [] : [c.aboveBestMicro]))
  const optimal = all.filter((c) => c.servesMore || (c.aboveBestMicro ?? 1) <= 0)
  const above = all.filter((c) => (c.aboveBestMicro ?? 0) > 0).map((c) => c.aboveBestMicro!)
  above.sort((a, b) => a - b)
  const less = all.filter((c) => c.servesLess)
  const faults = all.flatMap((c) => c.faults)
  const eur = (micro: number) => (micro / 1e6).toFixed(2)
  const table = markdownTable(
    [
      'works',
      'plans tried',
      'best there is',
      'as much served, dearer',
      'less served',
      'said to be the best by its own bound',
      'at fault',
    ],
    [
      [
        all.length,
        all.reduce((sum, c) => sum + c.tried, 0),
        optimal.length,
        above.length,
        less.length,
        all.filter((c) => c.proven).length,
        faults.length,
      ],
    ],
  )
  const dearer =
    above.length === 0
      ? ''
      : ` The dearer ones cost ${eur(above[Math.floor(above.length / 2)]!)} EUR more than the best in the median, ${eur(above.at(-1)!)} EUR at most: each within the gap that its plan states, since no bound lies above the best plan.`
  const better = (c: Compared) => c.servesMore || (c.aboveBestMicro ?? 0) < -ROUNDING_MICRO
  const missed = all.filter((c) => !c.parts && better(c))
  const missedText =
    missed.length === 0
      ? 'No other plan was better than all that were tried.'
      : `With the seeds ${missed.map((c) => c.seed).join(', ')} the planner beats all that were tried without such a piece, by a plan that obeys every rule: there the normal form leaves something out, and the search is not the proof that it should be.`
  const seeds =
    less.length === 0
      ? ''
      : ` Less is served with the seeds ${less.map((c) => c.seed).join(', ')}; the bound on service of each allows what the best plan serves.`
  keepResult(
    'exhaustive.md',
    'Works so small that every plan can be tried',
    `${table}

Seeds ${all[0]!.seed} to ${all.at(-1)!.seed}.${short} One or two drums with faults, one to five pieces, sometimes a remnant for the bench, faults that some lines allow, tolerances, a lot group, a piece in parts; every order of pieces is tried in the normal form of [every-mounting.ts](../../tests/plan/every-mounting.ts). Of pieces in parts (${all.filter((c) => c.parts).length} works) not every division is tried, so there the planner may do better and does in ${all.filter((c) => c.parts && better(c)).length}. Same service in ${atCost.length}.${dearer}${seeds} ${missedText} At fault: a broken rule, a bound above the best plan.
${faults
  .slice(0, 50)
  .map((f) => `\n- ${f}`)
  .join('')}`.trimEnd(),
  )
  if (faults.length > 0) process.exitCode = 1
}

/** Compares every `step`-th seed from one on and prints what came of each as a line of JSON. */
async function runSeeds(from: number, to: number, step: number): Promise<void> {
  for (let seed = from; seed < to; seed += step)
    process.stdout.write(`${JSON.stringify(await compare(seed))}\n`)
}

/** A process for each core; stopped by Ctrl-C it reports what it has. */
async function main(count: number, first: number): Promise<void> {
  const step = Math.min(count, availableParallelism())
  const runs = Array.from({ length: step }, (_, k) => [
    '--run',
    ...[first + k, first + count, step].map(String),
  ])
  const all = await gathered<Compared>(fileURLToPath(import.meta.url), runs, count, (so) => {
    if (so % SAID_EVERY === 0) process.stderr.write(`${so} of ${count}\n`)
  })
  report(
    all.sort((a, b) => a.seed - b.seed),
    count,
  )
}

const [a, b, c, d] = process.argv.slice(2)
if (a === '--run') await runSeeds(Number(b), Number(c), Number(d))
else await main(Number(a ?? COUNT), Number(b ?? FIRST_SEED))
