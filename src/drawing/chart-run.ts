import type { FindingKind, RunFinding } from '../line/replay/finding.ts'
import type { ReplayedRun } from '../line/replay/run-analysis.ts'
import { REPLAY_LIMITS, type RunSetup } from '../line/replay/run-setup.ts'
import type { RunSample } from '../line/run-sample.ts'
import { figureText } from '../quantity/length-text.ts'
import { type ChartLimit, type ChartWanted, chartDrawing } from './chart-drawing.ts'
import type { ChartEvent } from './chart-events.ts'
import type { Drawing } from './shape.ts'

/** What a run sheet or a screen shows of a recorded run, one chart a question. */
export type RunChart = 'speed' | 'uncounted' | 'diameter' | 'spark' | 'tension' | 'dancer'

/** Findings that belong under each chart. */
const KINDS: Record<RunChart, FindingKind[]> = {
  speed: ['gap', 'clock', 'micro-stop', 'stop', 'piece-start'],
  uncounted: ['slip', 'counter-reset', 'counter-jump', 'take-up', 'payoff'],
  diameter: ['lump', 'neck', 'oval'],
  spark: ['spark', 'spark-low'],
  tension: ['tension'],
  dancer: ['dancer'],
}

/** The words above a chart. */
const WORDS: Partial<Record<FindingKind, string>> = {
  'micro-stop': 'stop',
  'counter-reset': 'reset',
  'counter-jump': 'leap',
  'piece-start': 'next piece',
  'spark-low': 'not tested',
}

/** A chart of a replayed run. Places are metres from the outer end, heads before the cutter reckoned in. */
export function runChart(
  chart: RunChart,
  { analysis, timeline, places }: ReplayedRun,
  setup: RunSetup,
  size: { width: number; height: number; textSize: number },
): Drawing {
  const { samples, gapBefore } = timeline
  const findings = analysis.findings.filter((one) => KINDS[chart].includes(one.kind))
  const list = findings.length > 0 ? findings.map(({ text }) => text) : [NOTHING[chart]]
  const wayM = CONTENT[chart].wayM(setup)
  const x = places.atM.map((placeM) => placeM + wayM)
  const course: Course = {
    x,
    // a line does not run on over what nobody recorded
    of: (value) => Float64Array.from(samples, (s, i) => (gapBefore[i] === 1 ? Number.NaN : value(s, i))),
    missedM: places.missedM,
  }
  return chartDrawing({
    ...{ ...size, events: findings.map(eventOf), list },
    x: { label: 'metres from the outer end', from: x[0]!, to: x.at(-1)! },
    ...CONTENT[chart].content(course, setup),
  })
}

const NOTHING: Record<RunChart, string> = {
  speed: 'No stop in mid-piece and no gap in the record.',
  uncounted: 'Counter, take-up turns and payoff agree all along.',
  diameter: 'The diameter kept within its limits.',
  spark: 'No spark.',
  tension: 'The tension kept within its band.',
  dancer: 'The dancer kept clear of its limits.',
}

function eventOf(one: RunFinding): ChartEvent {
  const { fromM, toM, kind, severity } = one
  return { x: fromM ?? 0, toX: toM ?? fromM ?? 0, text: WORDS[kind] ?? kind, wrong: severity === 'wrong' }
}

type Content = Pick<ChartWanted, 'title' | 'y'> & Partial<ChartWanted>

/** The samples of a run along the strip. */
interface Course {
  x: Float64Array
  of(value: (sample: RunSample, i: number) => number): Float64Array
  missedM: Float64Array
}

const atCutter = () => 0
const most = (name: string, value: number): ChartLimit => ({ name, value, not: 'above' })
const least = (name: string, value: number): ChartLimit => ({ name, value, not: 'below' })

/** What each chart shows, and how far before the cutter it was seen. */
const CONTENT: Record<
  RunChart,
  { wayM(setup: RunSetup): number; content(course: Course, setup: RunSetup): Content }
> = {
  speed: {
    wayM: atCutter,
    content: ({ x, of }) => ({
      ...{ title: 'Speed along the strip.', y: { label: 'speed, m/min', from: 0 } },
      lines: [
        { name: 'run', x, y: of((s) => 60 * s.vMS) },
        { name: 'set', x, y: of((s) => 60 * s.vSetMS) },
      ],
    }),
  },
  uncounted: {
    wayM: atCutter,
    content: ({ x, of, missedM }) => ({
      ...{ title: 'Cable that passed uncounted, along the strip.', y: { label: 'uncounted, mm' } },
      lines: [{ name: 'uncounted', x, y: of((_, i) => 1000 * missedM[i]!) }],
    }),
  },
  diameter: {
    wayM: ({ line }) => line.diameterGauge.toCutterM,
    content: ({ x, of }, { cable }) => {
      const [high, low] = [cable.odMm + cable.odTolMm, cable.odMm - cable.odTolMm]
      return {
        ...{ title: 'Diameter along the strip, mean of two axes.', y: { label: 'diameter, mm' } },
        lines: [{ name: 'mean', x, y: of((s) => (s.odXMm + s.odYMm) / 2) }],
        limits: [most(`most ${figureText(high)}`, high), least(`least ${figureText(low)}`, low)],
      }
    },
  },
  spark: {
    wayM: ({ line }) => line.spark.toCutterM,
    content: ({ x, of }, { line }) => ({
      ...{ title: 'Spark current along the strip.', y: { label: 'spark current, mA', from: 0 } },
      lines: [{ name: 'current', x, y: of((s) => s.sparkMa) }],
      limits: [most(`trips at ${figureText(line.spark.tripMa)}`, line.spark.tripMa)],
    }),
  },
  tension: {
    wayM: atCutter,
    content: ({ x, of }, { cable }) => {
      const set = cable.lineTensionN
      const [low, high] = [1 - REPLAY_LIMITS.tensionBandRatio, 1 + REPLAY_LIMITS.tensionBandRatio]
      const ends = [x[0]!, x.at(-1)!]
      return {
        ...{ title: 'Tension along the strip.', y: { label: 'tension, N' } },
        lines: [{ name: 'tension', x, y: of((s) => s.tensionN) }],
        bands: [{ name: 'set', x: ends, low: ends.map(() => low * set), high: ends.map(() => high * set) }],
      }
    },
  },
  dancer: {
    wayM: atCutter,
    content: ({ x, of }, { line }) => ({
      ...{ title: 'Dancer along the strip.', y: { label: 'dancer, % of travel', from: 0, to: 100 } },
      lines: [{ name: 'dancer', x, y: of((s) => s.dancerPct) }],
      limits: [most('high', line.dancer.limitHighPct), least('low', line.dancer.limitLowPct)],
    }),
  },
}
