import { spawnSync } from 'node:child_process'
import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { seededRandom } from '../src/plan/random.ts'
import { judgedPlan } from '../src/plan/stock/stock-plan.ts'
import type { StockPlan, StockProblem } from '../src/plan/stock/stock-problem.ts'
import { StockSolver } from '../src/plan/stock/stock-solver.ts'
import { solveAssignment } from './assignment/solve-assignment.ts'
import { keepResult, markdownTable, peakMemoryMb } from './measured.ts'
import { withFault } from './shop-faults.ts'
import { shopFirstFit } from './shop-first-fit.ts'
import { COST_PER_M, shopProblem } from './shop-instance.ts'

/** The planning engine on the twenty shop files, each in a process of its own. Times are of the processor. */

const FOLDER = join('bench', 'shop')
const SEED = 1
/** A gap below this counts as proven optimal. */
const PROVEN = 0.05 * COST_PER_M
const FAULTS = 20
/** Files on which the assignment model is tried, seconds of the processor that it has, and of the clock after which it is ended. */
const ASSIGNED = /^(medium|large)-/
const ASSIGNMENT_S = 30
const ASSIGNMENT_ENDED_S = 240
const MM_PER_M = 1000

/** Seconds after which the gap is read, how long an optimum is looked for, and how many repairs are compared with planning anew. */
const LIMITS: Record<string, { gapS: number; allS: number; compared: number }> = {
  small: { gapS: 2, allS: 30, compared: 20 },
  medium: { gapS: 2, allS: 30, compared: 10 },
  large: { gapS: 5, allS: 5, compared: 5 },
  huge: { gapS: 15, allS: 15, compared: 2 },
}

interface Measured {
  name: string
  size: string
  firstS: number
  firstGap: number
  gap: number
  finalGap: number
  provenS: number | null
  cost: number
  bound: number
  firstFitExcess: number
  /** Cost of the assignment model above our bound, m; null where it found no plan, undefined where it was not tried. */
  assignmentExcess?: number | null
  excess: number
  repairMs: number[]
  /** Repaired cost less the cost of planning anew with ten times the time, m of scrap. */
  repairLoss: number[]
  memoryMb: number
  wallS: number
}

const processorS = () => {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1e6
}

function checkedCost(problem: StockProblem, plan: StockPlan): number {
  const { cost, faults } = judgedPlan(problem, plan)
  if (faults.length > 0) throw new Error(faults[0])
  return cost
}

function measure(file: string): Measured {
  const problem = shopProblem(join(FOLDER, file))
  const name = file.replace('.json', '')
  const size = name.split('-')[0]!
  const { gapS, allS, compared } = LIMITS[size]!
  const wall = performance.now()
  const start = processorS()
  const solver = new StockSolver(problem, seededRandom(SEED))
  const gap = () => (solver.cost - solver.bound) / COST_PER_M
  const firstS = processorS() - start
  const firstGap = gap()
  let gapThen: number | null = null
  let provenS: number | null = null
  while (provenS === null && processorS() - start < allS) {
    const more = solver.improve()
    const t = processorS() - start
    if (solver.cost - solver.bound < PROVEN) provenS = t
    if (t < gapS) gapThen = gap()
    if (!more) break
  }
  const { cost, bound } = solver
  if (checkedCost(problem, solver.plan) !== cost)
    throw new Error(`${name}: the plan does not cost what it says`)
  const wallS = (performance.now() - wall) / 1000
  const firstFit = checkedCost(problem, shopFirstFit(problem))
  return {
    name,
    size,
    firstS,
    firstGap,
    gap: gapThen ?? gap(),
    finalGap: gap(),
    provenS,
    cost,
    bound,
    firstFitExcess: (firstFit - bound) / COST_PER_M,
    excess: (cost - bound) / COST_PER_M,
    ...repairs(problem, solver, compared),
    memoryMb: peakMemoryMb(),
    wallS,
  }
}

/** Faults one after the other; after the first ones the better plan of repair and new planning with ten times the repair's time stays. */
function repairs(
  first: StockProblem,
  planned: StockSolver,
  compared: number,
): { repairMs: number[]; repairLoss: number[] } {
  const random = seededRandom(SEED + 1)
  const repairMs: number[] = []
  const repairLoss: number[] = []
  let problem = first
  let solver = planned
  for (let k = 0; k < FAULTS; k++) {
    problem = withFault(problem, solver.plan, random)
    const before = processorS()
    solver.repair(problem)
    if (solver.bound > solver.cost) throw new Error('a bound above the plan')
    const repairS = processorS() - before
    repairMs.push(repairS * 1000)
    const repaired = checkedCost(problem, solver.plan)
    if (k >= compared) continue
    const fresh = new StockSolver(problem, seededRandom(SEED + k))
    const start = processorS()
    while (processorS() - start < 10 * repairS) if (!fresh.improve()) break
    repairLoss.push((repaired - fresh.cost) / COST_PER_M)
    if (fresh.cost < repaired) solver = fresh
  }
  return { repairMs, repairLoss }
}

/** The best plan of the assignment model within its time, as cost in units of the engine; null where it found none. */
function assignmentCost(file: string): number | null {
  const child = spawnSync(process.execPath, [fileURLToPath(import.meta.url), '--assignment', file], {
    stdio: ['ignore', 'pipe', 'inherit'],
    encoding: 'utf8',
    timeout: ASSIGNMENT_ENDED_S * 1000,
    killSignal: 'SIGKILL',
  })
  const costs = child.stdout.split('\n').filter((line) => line !== '')
  if (child.status !== 0) process.stderr.write(`${file}: the assignment model was ended\n`)
  return costs.length === 0 ? null : Math.min(...costs.map(Number))
}

/** Prints the cost of each better plan that the assignment model finds: what was printed stays, should it have to be ended. */
function printAssignment(file: string): Promise<void> {
  const problem = shopProblem(join(FOLDER, file))
  const scale = { length: MM_PER_M, cost: COST_PER_M }
  return solveAssignment(problem, scale, ASSIGNMENT_S, ({ plan, processorS }) => {
    if (processorS <= ASSIGNMENT_S + 1) process.stdout.write(`${checkedCost(problem, plan)}\n`)
  })
}

const quantile = (values: number[], q: number) =>
  values.slice().sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(q * values.length))]!
const m = (x: number) => x.toFixed(2)

const HEADER = [
  'file',
  'plan and bound s',
  'gap then m',
  'gap m at',
  'gap m at the end',
  'proven optimal s',
  'cost m',
  'bound m',
  'first fit: excess m',
  'times ours',
  'assignment model: excess m',
  'repair ms p50 / p95',
  'repair less new plan m p50 / p95',
  'memory MB',
  'wall s',
]

function row(r: Measured): string[] {
  const { gapS, allS } = LIMITS[r.size]!
  return [
    r.name,
    r.firstS.toFixed(3),
    m(r.firstGap),
    `${m(r.gap)} (${gapS} s)`,
    `${r.finalGap.toFixed(3)}`,
    r.provenS === null ? `not in ${allS}` : m(r.provenS),
    (r.cost / COST_PER_M).toFixed(3),
    (r.bound / COST_PER_M).toFixed(3),
    m(r.firstFitExcess),
    r.excess > 0 ? (r.firstFitExcess / r.excess).toFixed(0) : 'no excess',
    r.assignmentExcess === undefined ? '–' : r.assignmentExcess === null ? 'no plan' : m(r.assignmentExcess),
    `${quantile(r.repairMs, 0.5).toFixed(0)} / ${quantile(r.repairMs, 0.95).toFixed(0)}`,
    `${m(quantile(r.repairLoss, 0.5))} / ${m(quantile(r.repairLoss, 0.95))}`,
    String(r.memoryMb),
    r.wallS.toFixed(1),
  ]
}

const TARGETS: Record<string, string[]> = {
  small: ['0.1 s', '1.0', '70 %', '–', '30 ms', '200 MB'],
  medium: ['0.3 s', '0.8', '30 %', '20', '80 ms', '250 MB'],
  large: ['1 s', '1.2', '–', '50', '200 ms', '350 MB'],
  huge: ['4 s', '1.2', '–', '–', '600 ms', '450 MB'],
}

function summary(all: Measured[]): string {
  const rows = Object.entries(TARGETS).map(([size, target]) => {
    const of = all.filter((r) => r.size === size)
    const ratios = of.map((r) => (r.excess > 0 ? r.firstFitExcess / r.excess : Number.POSITIVE_INFINITY))
    const proven = of.filter((r) => r.provenS !== null).length
    const ratio = quantile(ratios, 0.5)
    const values = [
      `${Math.max(...of.map((r) => r.firstS)).toFixed(2)} s`,
      m(Math.max(...of.map((r) => r.gap))),
      `${proven} of ${of.length}`,
      Number.isFinite(ratio) ? ratio.toFixed(0) : 'no excess',
      `${quantile(
        of.flatMap((r) => r.repairMs),
        0.95,
      ).toFixed(0)} ms`,
      `${Math.max(...of.map((r) => r.memoryMb))} MB`,
    ]
    return [size, ...values.map((value, k) => `${value} (${target[k]})`)]
  })
  return markdownTable(
    [
      'size',
      'plan and bound, slowest',
      'gap m, largest',
      'proven optimal in 30 s',
      'excess of first fit over ours, median',
      'repair with bound, p95',
      'memory, most',
    ],
    rows,
  )
}

async function main(): Promise<void> {
  const [asked, file] = process.argv.slice(2)
  if (asked === '--assignment' && file !== undefined) return printAssignment(file)
  if (asked !== undefined) {
    process.stdout.write(JSON.stringify(measure(asked)))
    return
  }
  const files = readdirSync(FOLDER).sort()
  const all = files.map((file) => {
    process.stderr.write(`${file} ...\n`)
    const child = spawnSync(process.execPath, [fileURLToPath(import.meta.url), file], {
      stdio: ['ignore', 'pipe', 'inherit'],
      encoding: 'utf8',
    })
    if (child.status !== 0) throw new Error(`${file} failed`)
    const measured = JSON.parse(child.stdout) as Measured
    if (!ASSIGNED.test(file)) return measured
    const cost = assignmentCost(file)
    return { ...measured, assignmentExcess: cost === null ? null : (cost - measured.bound) / COST_PER_M }
  })
  const tried = all.filter((r) => r.assignmentExcess !== undefined)
  const beaten = tried.filter((r) => r.assignmentExcess === null || r.assignmentExcess! > r.excess)
  const note =
    'Targets in brackets. Costs and gaps are metres of scrap by the cost that the files state; a gap below 0.05 m counts as proven ' +
    'optimal. Seconds are processor time of the process, for other work ran on the machine; wall time stands last. Faults of a repair ' +
    `come one after the other, ${FAULTS} a file, each half a metre at a random place that is cut; the first repairs of a file are compared with planning anew given ten times their time. ` +
    `The assignment model (pieces by stretch as whole numbers) is solved by the linear-programming library in ${ASSIGNMENT_S} s of the ` +
    `processor; its best plan costs more than ours on ${beaten.length} of ${tried.length}.`
  keepResult(
    'shop.md',
    'The planning engine on the shop files',
    `${summary(all)}\n\n${markdownTable(HEADER, all.map(row))}\n\n${note}`,
  )
}

await main()
