import { spawnSync } from 'node:child_process'
import { basename, dirname } from 'node:path'
import { fileURLToPath } from 'node:url'
import { seededRandom } from '../src/plan/random.ts'
import { classicFaults } from '../src/plan/stock/classic-problem.ts'
import { solveClassic } from '../src/plan/stock/classic-solve.ts'
import { judgedPlan } from '../src/plan/stock/stock-plan.ts'
import { StockSolver } from '../src/plan/stock/stock-solver.ts'
import { classicProblem } from './classic-instance.ts'
import { knownValues } from './classic-known.ts'
import { keepResult, markdownTable, peakMemoryMb } from './measured.ts'
import { sackProblem } from './sack-instance.ts'

/** The planning engine on classical cutting-stock files given by path, each in a process of its own. Times are of the processor. */

const SECONDS = 10
/** Sets that are given longer. */
const LONGER: Record<string, number> = { ai: 20, ani: 20, gi: 20 }
const SEED = 1

interface Measured {
  ours: number | null
  bound: number | null
  infeasible: boolean
  seconds: number
  memoryMb: number
}

function measure(file: string, limitS: number): Measured | null {
  const problem = classicProblem(file)
  if (problem === null) return measureSacks(file, limitS)
  const startedAt = process.cpuUsage()
  const seconds = () => {
    const { user, system } = process.cpuUsage(startedAt)
    return (user + system) / 1e6
  }
  const answer = solveClassic(problem, seededRandom(SEED), () => seconds() < limitS)
  const took = seconds()
  if (answer.plan) {
    const [fault] = classicFaults(answer.problem, answer.plan)
    if (fault !== undefined) throw new Error(fault)
  }
  return {
    ours: answer.plan ? answer.cost : null,
    bound: Number.isFinite(answer.bound) ? answer.bound : null,
    infeasible: answer.bound === Number.POSITIVE_INFINITY,
    seconds: took,
    memoryMb: peakMemoryMb(),
  }
}

/** Multiple knapsacks by the engine that plans stock: profit packed, and a profit that no packing exceeds. */
function measureSacks(file: string, limitS: number): Measured | null {
  const sacks = sackProblem(file)
  if (sacks === null) return null
  const startedAt = process.cpuUsage()
  const seconds = () => {
    const { user, system } = process.cpuUsage(startedAt)
    return (user + system) / 1e6
  }
  const solver = new StockSolver(sacks.problem, seededRandom(SEED))
  while (solver.bound < solver.cost && seconds() < limitS) if (!solver.improve()) break
  const took = seconds()
  const { cost, faults } = judgedPlan(sacks.problem, solver.plan)
  if (faults.length > 0 || cost !== solver.cost) throw new Error(faults[0] ?? 'not the cost it says')
  return {
    ours: sacks.profit - cost,
    bound: sacks.profit - Math.ceil(solver.bound),
    infeasible: false,
    seconds: took,
    memoryMb: peakMemoryMb(),
  }
}

function main(): void {
  const [first, ...rest] = process.argv.slice(2)
  if (first === '--one') {
    process.stdout.write(JSON.stringify(measure(rest[0]!, Number(rest[1]))))
    return
  }
  const given = first === undefined ? [] : [first, ...rest]
  const files = given.filter((file) => !file.endsWith('.csv'))
  if (files.length === 0) {
    process.stdout.write('classic: no instance files given; see bench/README.md\n')
    return
  }
  report(files, knownValues(given.filter((file) => file.endsWith('.csv'))))
}

function report(files: string[], known: Map<string, number>): void {
  const rows: string[][] = []
  const sets = new Map<
    string,
    { files: number; best: number; proven: number; slowest: number; memory: number }
  >()
  for (const file of files) {
    const set = basename(dirname(file))
    process.stderr.write(`${set}/${basename(file)} ...\n`)
    const limit = String(LONGER[set] ?? SECONDS)
    const child = spawnSync(process.execPath, [fileURLToPath(import.meta.url), '--one', file, limit], {
      stdio: ['ignore', 'pipe', 'inherit'],
      encoding: 'utf8',
    })
    if (child.status !== 0) throw new Error(`${file} failed`)
    const measured = JSON.parse(child.stdout) as Measured | null
    const best = known.get(basename(file)) ?? null
    rows.push([set, basename(file), best === null ? '–' : String(best), ...cells(measured)])
    if (measured === null) continue
    const proven = measured.infeasible || measured.ours === measured.bound
    const reached = proven || (best !== null && measured.ours !== null && measured.ours <= best)
    const of = sets.get(set) ?? { files: 0, best: 0, proven: 0, slowest: 0, memory: 0 }
    sets.set(set, {
      files: of.files + 1,
      best: of.best + (reached ? 1 : 0),
      proven: of.proven + (proven ? 1 : 0),
      slowest: Math.max(of.slowest, measured.seconds),
      memory: Math.max(of.memory, measured.memoryMb),
    })
  }
  const summary = [...sets].map(([set, of]) => [
    set,
    ...[of.files, of.best, of.proven].map(String),
    of.slowest.toFixed(2),
    String(of.memory),
  ])
  const note =
    'Best known as the tables given name it; a bound is proven in whole numbers. Seconds are processor time of the process, for other ' +
    `work ran on the machine; a file is given ${SECONDS} s, of the sets ${Object.keys(LONGER).join(', ')} 20 s. The files are not part of the project. ` +
    'Of multiple knapsacks (mkp) the figures are the profit packed and a profit that no packing exceeds; none is known from elsewhere.'
  keepResult(
    'classic.md',
    'The planning engine on classical cutting-stock files',
    `${markdownTable(['set', 'files', 'best known reached', 'proven', 'slowest s', 'memory MB'], summary)}\n\n${markdownTable(
      ['set', 'file', 'best known', 'ours', 'bound', 'proven', 'seconds', 'memory MB'],
      rows,
    )}\n\n${note}`,
  )
}

function cells(measured: Measured | null): string[] {
  if (measured === null) return ['another kind of problem, left out', '–', '–', '–', '–']
  const { ours, bound, infeasible, seconds, memoryMb } = measured
  const proven = infeasible || ours === bound
  return [
    infeasible ? 'no plan can be' : ours === null ? 'none found' : String(ours),
    bound === null ? '–' : String(bound),
    proven ? 'yes' : 'no',
    seconds.toFixed(2),
    String(memoryMb),
  ]
}

main()
