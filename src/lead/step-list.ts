import type { BenchHall } from '../hall/bench.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { Connector } from './connector.ts'
import type { CutFigures } from './cut-figures.ts'
import { dangersOf } from './step-dangers.ts'
import { benchesFor } from './step-places.ts'
import { type BenchTime, type TimedTask, taskMinutes } from './step-times.ts'
import type { StripDimensions } from './strip-dimensions.ts'

/** One step at the bench, done for all leads of the line before the next. */
export interface BenchStep {
  step: number
  name: string
  what: string
  /** Cheapest place that can do it; null where none of the works can. */
  bench: string | null
  people: string[]
  minutesEach: number
  minutes: number
  dangers: string[]
}

export interface StepQuestion {
  line: OrderLine
  a: Connector
  b: Connector
  cut: CutFigures
  stripA: StripDimensions
  stripB: StripDimensions
  start: number
  hall: BenchHall
  times: BenchTime[] | null
}

/** Of the minutes of an end, so much is baring the cable, the rest fitting the connector; an estimate of ours. */
const STRIP_SHARE = 0.3

interface Draft {
  name: string
  what: string
  task: string
  connection?: string
  each: number
  once?: number
}

/** The steps in order: all of one step for the whole line, since a set-up is dearer than carrying the leads on. */
export function stepList(question: StepQuestion): BenchStep[] {
  const { line, cut, start, hall, times } = question
  const minutes = (task: TimedTask) => taskMinutes(times, task)
  const matched = line.matchedSet !== null
  const drafts: Draft[] = [
    {
      name: 'kit',
      what: 'count out connectors, sleeves, bags and labels; tools in date and set as the tool list says',
      ...{ task: 'cut', each: 0, once: minutes('kit') + minutes('setup') },
    },
    {
      name: 'cut',
      what: `cut ${start} lengths; ${cut.says}; measure the first and the last`,
      ...{ task: 'cut', each: minutes('cut') },
    },
    ...endSteps(question, 'A'),
    ...(matched ? [trimStep(line, minutes('reflect'))] : []),
    ...endSteps(question, 'B'),
    {
      name: 'inspect',
      what: 'pin height and face by gauge; ferrule or nut seated; no solder outside the pin; length against its limits',
      ...{ task: 'continuity', each: minutes('inspect') },
    },
    ...testSteps(matched, minutes),
    {
      name: 'pack',
      what: `label, cap both ends, coil no tighter than the cable bends, bag${line.note === null ? '' : `; order says: ${line.note}`}`,
      ...{ task: 'pack', each: minutes('pack') },
    },
  ]
  return drafts.map((draft, i) => {
    const bench = benchesFor(hall, draft.task, draft.connection ?? null)[0]?.id ?? null
    return {
      ...{ step: i + 1, name: draft.name, what: draft.what, bench },
      people: hall.people
        .filter(
          ({ skills }) =>
            bench !== null && (skills.includes(bench) || skills.includes(`${bench}:${draft.task}`)),
        )
        .map(({ id }) => id),
      minutesEach: draft.each,
      minutes: (draft.once ?? 0) + draft.each * start,
      dangers: dangersOf(draft.name.split(' ')[0]!, draft.task),
    }
  })
}

function endSteps({ a, b, stripA, stripB }: StepQuestion, end: 'A' | 'B'): Draft[] {
  const [connector, strip] = end === 'A' ? [a, stripA] : [b, stripB]
  const loose =
    connector.ferruleHexAfMm !== null
      ? 'ferrule'
      : connector.method === 'clamp_solder_pin'
        ? 'nut and gland'
        : 'body'
  return [
    {
      name: `strip ${end}`,
      what: `sleeve and ${loose} onto the cable first; jacket ${strip.jacketMm} mm, braid ${strip.braidMm} mm, dielectric ${strip.dielectricMm} mm from the cut face, ±${strip.plusMinusMm} mm; ${strip.checks.join('; ')}`,
      task: 'strip',
      each: STRIP_SHARE * connector.assemblyMinPerEnd,
    },
    {
      name: `fit ${end}`,
      what: `${connector.part}: ${fitText(connector)}`,
      task: connector.method,
      connection: connector.interface,
      each: (1 - STRIP_SHARE) * connector.assemblyMinPerEnd,
    },
  ]
}

/** Polyethylene softens near 90 °C and solder flows near 230 °C, so the joint has about a second (TRADE practice, foam dielectric). */
function fitText({ method, pinMethod, ferruleHexAfMm }: Connector): string {
  const pin =
    pinMethod === 'solder'
      ? 'solder the pin in 1 to 2 s at 320 to 370 °C with a heat sink, no solder outside it'
      : pinMethod === 'crimp'
        ? 'crimp the pin, look through its inspection hole'
        : 'the inner conductor is the pin: straight, clean, to length'
  const body = {
    crimp: `push home, braid combed over the body, crimp the ferrule with hexagon ${ferruleHexAfMm} mm`,
    crimp_solder_pin: `push home, braid combed over the body, crimp the ferrule with hexagon ${ferruleHexAfMm} mm`,
    clamp_solder_pin:
      'braid combed over the clamp, tighten the nut while the body is held, never the other way round',
    solder: 'push home, solder body to braid, let it cool before it is moved',
    compression: 'push home until the dielectric is flush, compress in one stroke',
  }[method]
  return `${pin}; ${body}`
}

function trimStep({ matchKind, matchFMhz }: OrderLine, each: number): Draft {
  const by = matchKind === 'phase' ? `phase at ${matchFMhz} MHz` : 'delay'
  return {
    name: 'trim',
    what: `measure every lead in reflection with end B open; trim to the ${by} that is wanted, to the shortest where none is; note the temperature`,
    task: 'tdr',
    each,
  }
}

function testSteps(matched: boolean, minutes: (task: TimedTask) => number): Draft[] {
  return [
    {
      name: 'continuity',
      what: 'both conductors end to end, and not to each other, moving the cable at each connector',
      ...{ task: 'continuity', each: minutes('continuity') },
    },
    {
      name: 'hipot',
      what: 'voltage and time as in the limits; discharge before touching',
      ...{ task: 'hipot', each: minutes('hipot') },
    },
    {
      name: 'test',
      what: 'insertion loss and return loss from both ends against the acceptance limits; coupled with the wrench',
      ...{ task: 'il', each: minutes('rf') },
    },
    ...(matched
      ? [
          {
            name: 'match',
            what: 'delay and phase of every lead on record; choose the sets',
            task: 'phase',
            each: minutes('match'),
          },
        ]
      : []),
  ]
}
