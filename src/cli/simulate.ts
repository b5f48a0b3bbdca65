import { type Command, InvalidArgumentError } from 'commander'
import { LastmetreError } from '../quantity/errors.ts'
import { loadWithMore, readWholeFolder, recordedWorks } from '../server/kept-more.ts'
import type { SimulatedTruth } from '../signals/simulator/simulated-line.ts'
import {
  SIMULATED_FAULTS,
  type SimulatedFault,
  simulatedSetup,
} from '../signals/simulator/simulated-setup.ts'
import { Simulator, type SimulatorSetup } from '../signals/simulator/simulator.ts'
import type { Mounting } from '../strip/cut-plan.ts'
import { readMountings } from '../works/read-mountings.ts'
import type { Works } from '../works/works.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'
import { namedFile } from './read-file.ts'
import { toldToEnd } from './told-to-end.ts'
import { between, port, wholeNumber } from './typed.ts'

interface SimulateOptions {
  line: string
  plan?: string
  mounting?: number
  modbusPort?: number
  mqttPort?: number
  seed: number
  speedUp: number
  faults: ReadonlySet<SimulatedFault>
}

const MAX_SPEED_UP = 100
/** Clock of the devices and when they fall silent, where these faults are asked for. */
const CLOCK_AHEAD_MS = 7_300
const CLOCK_DRIFT_PPM = 50
const DROP_OUT_S = [{ fromS: 45, toS: 53 }]

export function addSimulate(program: Command, help: string, done: (code: number) => void): void {
  program
    .command('simulate')
    .description('run a line that is not there: its devices answer over Modbus TCP and MQTT on this machine')
    .argument('<folder>', 'works folder; what is served and where stands in its more/signals.csv')
    .requiredOption('--line <line>', 'the line, as in lines.json')
    .option('--plan <file>', 'a plan.json of this works folder; without one usual lengths are run')
    .option(
      '--mounting <number>',
      'which mounting of the plan; the first one of the line without',
      wholeNumber,
    )
    .option('--modbus-port <port>', 'in place of the port in more/signals.csv', port)
    .option('--mqtt-port <port>', 'in place of the port in more/signals.csv', port)
    .option('--seed <number>', 'the same seed, the same run', wholeNumber, 1)
    .option(
      '--speed-up <factor>',
      `run so many times faster, 1 to ${MAX_SPEED_UP}`,
      between(1, MAX_SPEED_UP),
      1,
    )
    .option(
      '--faults <list>',
      `what goes wrong, by commas: ${SIMULATED_FAULTS.join(', ')}; or none`,
      faults,
      new Set<SimulatedFault>(['sparks']),
    )
    .addHelpText('after', help)
    .action(async (folder: string, options: SimulateOptions) => {
      done(await simulate(folder, options))
    })
}

async function simulate(folder: string, options: SimulateOptions): Promise<number> {
  const loaded = loadWithMore(await readWholeFolder(folder))
  const signals = (loaded.more.signals.signals ?? []).filter((signal) => signal.line === options.line)
  if (signals.length === 0)
    throw new LastmetreError('unknown-id', `more/signals.csv has no row of the line ${options.line}.`)
  const works = recordedWorks(loaded)
  const mounting = options.plan === undefined ? null : await mountingOf(options.plan, works, options)
  const portOf = (protocol: string) => signals.find((s) => s.protocol === protocol)?.port ?? 0
  const has = (fault: SimulatedFault) => options.faults.has(fault)
  const setup: SimulatorSetup = {
    line: simulatedSetup(works, options.line, mounting, options.seed, options.faults),
    signals,
    modbusPort: options.modbusPort ?? portOf('modbus-tcp'),
    mqttPort: options.mqttPort ?? portOf('mqtt'),
    speedUp: options.speedUp,
    clockAheadMs: has('clock') ? CLOCK_AHEAD_MS : 0,
    clockDriftPpm: has('clock') ? CLOCK_DRIFT_PPM : 0,
    silences: has('drop-out') ? DROP_OUT_S : [],
  }
  const simulator = await started(setup)
  const at = [
    simulator.modbusPort === null ? null : `Modbus TCP at 127.0.0.1:${simulator.modbusPort}`,
    simulator.mqttPort === null ? null : `MQTT at 127.0.0.1:${simulator.mqttPort}`,
  ]
  const where = at.filter((text) => text !== null).join(', ')
  print(`${options.line} runs ${setup.line.cuts.length} cuts: ${where}. Ctrl-C ends it.`)
  // After the last cut it stands still and goes on answering, as a line does.
  await toldToEnd()
  await simulator.close()
  return EXIT.ok
}

async function started(setup: SimulatorSetup): Promise<Simulator> {
  try {
    return await Simulator.start(setup, (event, atMs) => print(truthText(event, atMs)))
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException
    if (code !== 'EADDRINUSE' && code !== 'EACCES') throw error
    throw new LastmetreError('port-taken', `The simulator cannot listen: ${message}.`)
  }
}

async function mountingOf(file: string, works: Works, options: SimulateOptions): Promise<Mounting> {
  const plan = await namedFile(file, 'plan-file-refused')
  const mountings = readMountings(new TextDecoder().decode(plan), works)
  const { mounting: wanted, line } = options
  const found =
    wanted === undefined ? mountings.find((mounting) => mounting.line === line) : mountings[wanted - 1]
  if (!found || found.line !== line)
    throw new LastmetreError('unknown-id', `The plan has no such mounting on ${line}.`)
  return found
}

function truthText(event: SimulatedTruth, atMs: number): string {
  const at = new Date(atMs).toISOString().slice(11, 23)
  switch (event.kind) {
    case 'spark':
      return `${at} spark, truly ${event.fromOuterM.toFixed(2)} m inward of the outer end`
    case 'cut':
      return `${at} cut ${event.cut}, truly ${event.lengthM.toFixed(3)} m`
    case 'reset':
      return `${at} counter set back in mid-run`
    case 'slip':
      return `${at} the wheel slips: ${event.missedM.toFixed(2)} m will not be counted`
    case 'end':
      return `${at} the last cut is done; the line stands`
  }
}

function print(text: string): void {
  process.stdout.write(`${printable(text)}\n`)
}

function faults(text: string): ReadonlySet<SimulatedFault> {
  const known = new Set<string>(SIMULATED_FAULTS)
  const named = text === 'none' ? [] : text.split(',')
  for (const name of named)
    if (!known.has(name))
      throw new InvalidArgumentError(`Give some of ${SIMULATED_FAULTS.join(', ')}, or none.`)
  return new Set(named as SimulatedFault[])
}
