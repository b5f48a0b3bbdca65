import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import type { Plan } from '../src/plan/plan.ts'
import { verifyClaims } from '../src/plan/verify.ts'
import { startPlanning } from '../src/solver/start-planning.ts'
import type { Works } from '../src/works/works.ts'
import { longestFirstBestFit } from './baselines/best-fit.ts'
import { firstFitDecreasing } from './baselines/first-fit.ts'
import { keepResult, markdownTable, peakMemoryMb } from './measured.ts'
import { BENCH_SECONDS, type BenchWorks, worksOf } from './works-of.ts'

/**
 * Service, cost, bound and time of the planner beside two greedy ones. Each planner runs in a process of its own,
 * so that memory is its own too.
 */

const PLANNERS = ['Lastmetre', 'longest first, best fit', 'first fit decreasing'] as const
type Planner = (typeof PLANNERS)[number]

const HEADER = [
  'works',
  'planner',
  'not served EUR',
  'cost EUR',
  'bound EUR',
  'gap EUR',
  'gap % of delivered',
  'scrap m',
  'drums',
  'mountings',
  'first plan s',
  'all s',
  'memory MB',
]

const SEED = 1

async function main(): Promise<void> {
  const [works, planner] = process.argv.slice(2)
  if (works !== undefined && planner !== undefined) {
    const row = await measure(works as BenchWorks, planner as Planner)
    process.stdout.write(JSON.stringify(row))
    return
  }
  const rows: string[][] = []
  for (const name of Object.keys(BENCH_SECONDS))
    for (const each of PLANNERS) {
      process.stderr.write(`${name}: ${each} ...\n`)
      rows.push(measureApart(name, each))
    }
  const seconds = Object.entries(BENCH_SECONDS).map(([name, s]) => `${name} ${s} s`)
  const note =
    `Time allowed: ${seconds.join(', ')}; seed ${SEED}. "Not served" weighs price by due date; cost is what a plan ` +
    'wastes and handles, at that service; the bound is proven for the planner’s own service. Costs at different service do not compare.'
  keepResult('plan.md', 'Plans, beside two greedy planners', `${markdownTable(HEADER, rows)}\n\n${note}`)
}

function measureApart(works: string, planner: string): string[] {
  const child = spawnSync(process.execPath, [fileURLToPath(import.meta.url), works, planner], {
    stdio: ['ignore', 'pipe', 'inherit'],
    encoding: 'utf8',
  })
  if (child.status !== 0) throw new Error(`${planner} failed on ${works}`)
  return JSON.parse(child.stdout) as string[]
}

async function measure(name: BenchWorks, planner: Planner): Promise<string[]> {
  const works = await worksOf(name)
  const startedMs = performance.now()
  const sinceStart = () => (performance.now() - startedMs) / 1000
  let firstS: number | null = null
  const noteFirst = () => {
    firstS ??= sinceStart()
  }
  const plan = await planBy(planner, works, BENCH_SECONDS[name], noteFirst)
  const allS = sinceStart()
  const verdict = verifyClaims(works, plan)
  if (verdict.broken.length > 0)
    throw new Error(`${planner} broke a rule: ${JSON.stringify(verdict.broken[0])}`)
  const ours = planner === 'Lastmetre'
  const eur = (micro: number) => (micro / 1e6).toFixed(2)
  const gapMicro = plan.costMicro - plan.bound.costMicro
  return [
    name,
    planner,
    eur(plan.unservedMicro),
    eur(plan.costMicro),
    ...(ours
      ? [eur(plan.bound.costMicro), eur(gapMicro), ((100 * gapMicro) / plan.deliveredMicro).toFixed(3)]
      : ['–', '–', '–']),
    (verdict.scrapUm / 1e6).toFixed(1),
    String(verdict.drumsMounted),
    String(plan.mountings.length),
    (firstS ?? allS).toFixed(2),
    allS.toFixed(2),
    String(peakMemoryMb()),
  ]
}

async function planBy(planner: Planner, works: Works, seconds: number, noteFirst: () => void): Promise<Plan> {
  if (planner === 'longest first, best fit') return longestFirstBestFit(works)
  if (planner === 'first fit decreasing') return firstFitDecreasing(works)
  const job = startPlanning(works, {
    seconds,
    seed: SEED,
    onProgress: (progress) => {
      if (progress.plan !== null) noteFirst()
    },
  })
  return job.result
}

await main()
