import { replayRun } from '../src/line/replay/run-analysis.ts'
import { setupFor, simulatedRun } from './generate/simulated-run.ts'
import { keepResult, markdownTable, peakMemoryMb } from './measured.ts'

/** Reading back a recorded run: slips, lumps, sparks, time; 10 Hz, at 150 m/min. */

const OD_MM = 8.1
const ROUNDS = 7

function measured(lengthM: number): (string | number)[] {
  const wanted = {
    ...{
      seed: 7,
      odMm: OD_MM,
      lengthM,
      slips: [{ fromM: 0.4 * lengthM, toM: 0.4 * lengthM + 12, ratio: 0.012 }],
    },
    ...{ pinholes: [0.6 * lengthM], lumps: [{ atM: 0.7 * lengthM, longM: 0.8, overMm: 0.5 }] },
  }
  const { record } = simulatedRun(wanted)
  const setup = setupFor(OD_MM)
  const wallMs: number[] = []
  const cpuMs: number[] = []
  let found = 0
  for (let round = 0; round < ROUNDS; round++) {
    const cpu = process.cpuUsage()
    const startedMs = performance.now()
    found = replayRun(record, setup).analysis.findings.length
    wallMs.push(performance.now() - startedMs)
    cpuMs.push(process.cpuUsage(cpu).user / 1000)
  }
  const middle = (list: number[]) => Math.round([...list].sort((a, b) => a - b)[list.length >> 1]!)
  return [
    lengthM,
    record.length,
    Math.round(wallMs[0]!),
    middle(wallMs),
    middle(cpuMs),
    found,
    peakMemoryMb(),
  ]
}

const header = ['metres', 'samples', 'first ms', 'median ms', 'median CPU ms', 'findings', 'memory MB']
keepResult(
  'replay.md',
  'Reading back a recorded run',
  markdownTable(header, [measured(500), measured(2_000), measured(10_000)]),
)
