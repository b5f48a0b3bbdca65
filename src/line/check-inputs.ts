import { LastmetreError } from '../quantity/errors.ts'
import {
  INPUT_FACTS,
  type KnownInputs,
  type LineOverrides,
  type LineSetting,
  type RunInput,
  type RunInputs,
} from './run-inputs.ts'

/** Inputs that may be unknown; every other must be a number. */
const MAY_BE_UNKNOWN: ReadonlySet<RunInput> = new Set<RunInput>([
  'jerkMPerS3',
  'payoffLagS',
  'rampPulledKg',
  'slowSlackKg',
  'rampCableS2',
  'pullMaxN',
  'stretchEaKn',
  'sidewallNPerM',
  'bendMinRepeatedMm',
  'barrelMinMm',
  'takeupBarrelMm',
  'capstanCircM',
  'sparkHz',
  'minDwellCycles',
  'capPfM',
  'counterErrorRatio',
  'overrunM',
])

/**
 * The inputs with what the works has set for the line and then with what was changed to see what follows; throws, naming field
 * and remedy, at the first that makes no sense.
 */
export function changedInputs(
  gathered: RunInputs,
  settings: LineSetting[],
  overrides: LineOverrides,
  where: string,
): KnownInputs {
  const sources: Partial<Record<RunInput, string>> = {}
  for (const { input, source } of settings) sources[input] = source
  for (const name of Object.keys(overrides)) {
    if (!Object.hasOwn(INPUT_FACTS, name))
      throw refused(where, name, 'is not an input of the line sheet', 'leave it out')
    sources[name as RunInput] = 'changed to see what follows'
  }
  const set = Object.fromEntries(settings.map((s) => [s.input, s.value]))
  const inputs: KnownInputs = { ...gathered, ...set, ...overrides, sources }
  for (const name of Object.keys(INPUT_FACTS) as RunInput[]) checkInput(where, name, inputs[name])
  if (inputs.dancerForceMinN > inputs.dancerForceMaxN)
    throw refused(where, 'dancerForceMinN', 'is above the greatest force', 'mend lines.json dancer')
  const { dancerLowPct, dancerCentrePct, dancerHighPct } = inputs
  if (!(dancerLowPct < dancerCentrePct && dancerCentrePct < dancerHighPct))
    throw refused(where, 'dancerCentrePct', 'does not lie between the two limits', 'mend lines.json dancer')
  if (inputs.sparkKvMin > inputs.sparkKvMax)
    throw refused(where, 'sparkKvMin', 'is above the greatest voltage', 'mend lines.json spark')
  return inputs
}

function checkInput(where: string, name: RunInput, value: RunInputs[RunInput]): void {
  const fact = INPUT_FACTS[name]
  if (name === 'payoffDriven') {
    if (typeof value !== 'boolean') throw refused(where, name, 'is not yes or no', 'give true or false')
    return
  }
  if (value === null && MAY_BE_UNKNOWN.has(name)) return
  if (typeof value !== 'number' || !Number.isFinite(value))
    throw refused(where, name, 'is not a number', `give a number${fact.unit ? ` in ${fact.unit}` : ''}`)
  const wanted =
    fact.above !== undefined && value <= fact.above
      ? `above ${fact.above}`
      : fact.least !== undefined && value < fact.least
        ? `of at least ${fact.least}`
        : fact.most !== undefined && value > fact.most
          ? `of at most ${fact.most}`
          : null
  if (wanted)
    throw refused(where, name, `is ${value}${fact.unit ? ` ${fact.unit}` : ''}`, `give a number ${wanted}`)
}

function refused(where: string, name: string, wrong: string, remedy: string): LastmetreError {
  const fact = Object.hasOwn(INPUT_FACTS, name) ? INPUT_FACTS[name as RunInput] : null
  const called = fact ? `${fact.name} (${name}; ${fact.source})` : name
  return new LastmetreError('figure-refused', `${where}: ${called} ${wrong}: ${remedy}.`)
}
