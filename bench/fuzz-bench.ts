import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { Worker } from 'node:worker_threads'
import { highsEngine } from '../src/solver/highs-engine.ts'
import { type Fuzzed, fuzzOne } from './fuzz/fuzz-one.ts'
import { refereeInProcess } from './fuzz/referee.ts'
import { keepResult, markdownTable } from './measured.ts'

/**
 * Random works folders, valid and at the edge: each is planned with little work, and the plan checked by the verifier and the referee.
 * `npm run bench -- fuzz [count] [first seed]`. They run in a process apart, so that a crash or a hang costs one works and not the run;
 * stopped by Ctrl-C it reports what it has.
 */

const COUNT = 150
const FIRST_SEED = 1
/** A works that takes more of the processor than this hangs: the longest takes two or three seconds. */
const HANG_S = 60
/** No process may be silent for longer, whatever it waits for. */
const SILENT_MS = 1_800_000
/** A process plans so many works and makes way for a fresh one, which keeps its memory small. */
const A_PROCESS = 500
const MOST_SHOWN = 50

interface Tally {
  run: number
  refused: number
  planned: number
  judged: number
  unserved: number
  orderLines: number
  drums: number
  faults: { seed: number; what: string }[]
}

/** Ends its process where a works takes too much of the processor: the thread that plans cannot look at a clock while it hangs. */
const GUARD = `
const { workerData } = require('node:worker_threads')
const beganMs = new Float64Array(workerData.guard)
setInterval(() => {
  const { user, system } = process.cpuUsage()
  if ((user + system) / 1000 - beganMs[0] > workerData.hangMs) process.kill(process.pid, 'SIGKILL')
}, 1000)
`

/** Plans works after works and prints what came of each as a line of JSON. */
async function runSeeds(from: number, to: number): Promise<void> {
  const guard = new SharedArrayBuffer(8)
  const beganMs = new Float64Array(guard)
  new Worker(GUARD, { eval: true, workerData: { guard, hangMs: HANG_S * 1000 } }).unref()
  const engine = await highsEngine()
  const referee = refereeInProcess()
  for (let seed = from; seed < to; seed++) {
    const { user, system } = process.cpuUsage()
    beganMs[0] = (user + system) / 1000
    const fuzzed = await fuzzOne(seed, engine, referee).catch((error: unknown) => {
      const fault = `crash: ${error instanceof Error ? error.stack : String(error)}`
      return { seed, fault }
    })
    process.stdout.write(`${JSON.stringify(fuzzed)}\n`)
    // after a crash the library may be in any state
    if (isCrash(fuzzed)) return
  }
}

const isCrash = ({ fault }: Partial<Fuzzed>) => fault?.startsWith('crash') === true

async function main(count: number, first: number): Promise<void> {
  const tally: Tally = {
    run: 0,
    refused: 0,
    planned: 0,
    judged: 0,
    unserved: 0,
    orderLines: 0,
    drums: 0,
    faults: [],
  }
  const note = (seed: number, what: string) => {
    tally.faults.push({ seed, what })
    process.stderr.write(`seed ${seed}: ${what}\n`)
  }
  let child: ChildProcess | null = null
  let stopped = false
  process.on('SIGINT', () => {
    stopped = true
    child?.kill('SIGKILL')
  })
  let next = first
  while (next < first + count && !stopped) {
    const to = Math.min(first + count, next + A_PROCESS)
    child = spawn(process.execPath, [fileURLToPath(import.meta.url), '--run', String(next), String(to)], {
      stdio: ['ignore', 'pipe', 'inherit'],
    })
    let crashed = false
    const hung = await watched(child, (fuzzed) => {
      next = fuzzed.seed + 1
      crashed = isCrash(fuzzed)
      add(tally, fuzzed, note)
    })
    if (next < to && !stopped && !crashed) {
      tally.run++
      note(next++, hung ? `no plan within ${HANG_S} s of the processor` : 'the process died')
    }
    process.stderr.write(`${next - first} of ${count}\n`)
  }
  report(tally, first, count)
  if (tally.faults.length > 0) process.exitCode = 1
}

function add(tally: Tally, fuzzed: Partial<Fuzzed>, note: (seed: number, what: string) => void): void {
  tally.run++
  if (fuzzed.state === 'refused') tally.refused++
  if (fuzzed.state === 'planned') tally.planned++
  if (fuzzed.judged) tally.judged++
  if (fuzzed.unservedPieces) tally.unserved++
  tally.orderLines += fuzzed.orderLines ?? 0
  tally.drums += fuzzed.drums ?? 0
  if (fuzzed.fault) note(fuzzed.seed!, fuzzed.fault)
}

/** Reads what a process prints until it ends, and ends it where it says nothing for too long: true where it or its guard had to. */
function watched(
  child: ChildProcess,
  onLine: (fuzzed: { seed: number } & Partial<Fuzzed>) => void,
): Promise<boolean> {
  const silent = () => child.kill('SIGKILL')
  let timer = setTimeout(silent, SILENT_MS)
  const lines = createInterface({ input: child.stdout! })
  lines.on('line', (line) => {
    clearTimeout(timer)
    timer = setTimeout(silent, SILENT_MS)
    onLine(JSON.parse(line) as Fuzzed)
  })
  const read = once(lines, 'close')
  const ended = once(child, 'exit')
  return Promise.all([read, ended]).then(([, [, signal]]) => {
    clearTimeout(timer)
    return signal === 'SIGKILL'
  })
}

function report(tally: Tally, first: number, count: number): void {
  const { run, refused, planned, judged, unserved, orderLines, drums, faults } = tally
  const table = markdownTable(
    [
      'works folders',
      'refused with reasons',
      'planned',
      'judged by the referee too',
      'with something not served',
      'at fault',
    ],
    [[run, refused, planned, judged, unserved, faults.length]],
  )
  const short = run < count ? ` Stopped early: ${count} were asked for.` : ''
  const shown = faults.slice(0, MOST_SHOWN).map((f) => `- seed ${f.seed}: ${f.what.split('\n')[0]}`)
  keepResult(
    'fuzz.md',
    'Random works folders',
    `${table}

Seeds ${first} to ${first + run - 1}.${short} ${orderLines} order lines on ${drums} drums. Each folder is made from its seed, most of them twisted towards the edge of what the contract allows and some beyond it, written as the sixteen files, read back, planned with little work and checked. At fault: a crash, no plan within ${HANG_S} s of the processor, a refusal without a reason, a rule that the verifier or the referee finds broken, figures that differ by more than a cent, a bound above the plan. \`npm run bench -- fuzz 1 <seed>\` runs one again.
${shown.length > 0 ? `\n${shown.join('\n')}\n` : ''}`.trimEnd(),
  )
}

const [a, b, c] = process.argv.slice(2)
if (a === '--run') await runSeeds(Number(b), Number(c))
else await main(Number(a ?? COUNT), Number(b ?? FIRST_SEED))
