import { useMemo } from 'react'
import { type ChartLine, type ChartWanted, chartDrawing } from '../../drawing/chart-drawing.ts'
import type { CounterCheck } from '../../measure/counter-check.ts'
import { counterReadings, dayOf } from '../../measure/counter-reading.ts'
import type { CounterReport, KnownCounter } from '../../measure/counter-report.ts'
import { day, many } from '../format.ts'
import { TEXT_SIZE_PX } from '../parts/drawing-size.ts'
import { Figure } from '../parts/figure.tsx'
import { Near } from '../parts/near.tsx'
import { dateOfDay, percentText } from './counter-text.ts'

interface Props {
  report: CounterReport
  known: KnownCounter
  checks: CounterCheck[]
  today: string
}

const LEAST_WIDTH_PX = 620
const HEIGHT_PX = 300
const X_LABEL = 'days before the planning day'

/** Error with its band, and the control charts. */
export function CounterCharts({ report, known, checks, today }: Props) {
  const todayDay = dayOf(today)
  const readings = useMemo(
    () => counterReadings(report.line, checks).readings.filter((r) => r.day <= todayDay),
    [report.line, checks, todayDay],
  )
  const x = readings.map((r) => r.day - todayDay)
  const { charts } = known
  const wanted: Wanted[] = [
    trendChart(report, known, readings, todayDay),
    ...(charts ? controlCharts(charts, x) : []),
  ]
  return (
    <section className="stack" aria-labelledby="counter-charts-head">
      <h2 id="counter-charts-head">Checks of {report.line} over time</h2>
      {!charts && (
        <p className="quiet">
          Control charts need more than 20 checks, or an error that was accepted as the target.
        </p>
      )}
      <Near heightPx={HEIGHT_PX * wanted.length}>
        {(widthPx) =>
          wanted.map((chart) => (
            <div className="stack close" key={chart.title}>
              <h3>{chart.title}</h3>
              <Figure
                told
                drawing={chartDrawing({
                  ...chart,
                  ...{ width: Math.max(LEAST_WIDTH_PX, widthPx), height: HEIGHT_PX, textSize: TEXT_SIZE_PX },
                })}
              />
            </div>
          ))
        }
      </Near>
    </section>
  )
}

type Wanted = Omit<ChartWanted, 'width' | 'height' | 'textSize'>

function trendChart(
  { line, correction }: CounterReport,
  { trend, inHindsight }: KnownCounter,
  readings: { day: number; errorRatio: number }[],
  todayDay: number,
): Wanted {
  const path = [...inHindsight, trend.today]
  const days = path.map((p) => p.day - todayDay)
  const band = (side: number) =>
    path.map((p) => 100 * (p.errorRatio + side * trend.factor95 * p.standardRatio))
  const ends = [days[0] ?? 0, 0]
  return {
    title: `Error of the counter of ${line}, with its 95 % band.`,
    x: { label: X_LABEL },
    y: { label: 'error, %' },
    lines: [
      { name: 'error', x: days, y: path.map((p) => 100 * p.errorRatio) },
      apart(
        'checks',
        readings.map((r) => r.day - todayDay),
        readings.map((r) => 100 * r.errorRatio),
      ),
      ...(correction
        ? [{ name: 'corrected by', x: ends, y: ends.map(() => 100 * correction.errorRatio) }]
        : []),
    ],
    bands: [{ name: '95 %', x: days, low: band(-1), high: band(1) }],
    list: [
      `${many(readings.length, 'check')} from ${day(dateOfDay(trend.firstDay))} to ${day(dateOfDay(trend.lastDay))}.`,
      `Error today ${percentText(trend.today.errorRatio)} ± ${percentText(trend.factor95 * trend.today.standardRatio)}.`,
      ...inHindsight
        .filter((_, i) => i % Math.ceil(inHindsight.length / 12) === 0)
        .map((p) => `${day(dateOfDay(p.day))}: ${percentText(p.errorRatio)}.`),
    ],
  }
}

/** Single measurements: marks that no line joins, since nothing is known between them. */
function apart(name: string, x: number[], y: number[]): ChartLine {
  return { name, dots: true, x: x.flatMap((v) => [v, v]), y: y.flatMap((v) => [v, Number.NaN]) }
}

type Charts = NonNullable<KnownCounter['charts']>

function controlCharts(charts: Charts, x: number[]): Wanted[] {
  const axes = { x: { label: X_LABEL }, y: { label: 'standard deviations of a check' } }
  const both = (limit: number) => [
    { name: `+${limit.toFixed(1)}`, value: limit, not: 'above' as const },
    { name: `−${limit.toFixed(1)}`, value: -limit, not: 'below' as const },
  ]
  const told = (chart: Charts['signals'][number]['chart']) => {
    const found = charts.signals.filter((s) => s.chart === chart)
    return found.length > 0 ? found.map((s) => `Signal since ${day(s.since)}: ${s.text}.`) : ['No signal.']
  }
  return [
    {
      ...axes,
      title: `Single checks against ${percentText(charts.targetRatio)}, the target (Shewhart).`,
      lines: [apart('checks', x, charts.z)],
      limits: both(charts.shewhartLimit),
      list: told('shewhart'),
    },
    {
      ...axes,
      title: 'Weighted mean of the checks (EWMA).',
      lines: [{ name: 'weighted mean', x, y: charts.ewma }],
      limits: both(charts.ewmaLimit),
      list: told('ewma'),
    },
    {
      ...axes,
      title: 'Sums of deviations to either side (CUSUM).',
      lines: [
        { name: 'long', x, y: charts.cusumUp },
        { name: 'short', x, y: charts.cusumDown },
      ],
      limits: [{ name: `${charts.cusumLimit}`, value: charts.cusumLimit, not: 'above' }],
      list: told('cusum'),
    },
  ]
}
