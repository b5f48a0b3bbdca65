import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { setupFor, simulatedRun } from '../../bench/generate/simulated-run.ts'
import { type ChartWanted, chartDrawing } from '../../src/drawing/chart-drawing.ts'
import { plotLine } from '../../src/drawing/chart-line.ts'
import { type RunChart, runChart } from '../../src/drawing/chart-run.ts'
import { chartScale, extentOf } from '../../src/drawing/chart-scale.ts'
import type { Drawing, PolylineShape, TextShape } from '../../src/drawing/shape.ts'
import { replayRun } from '../../src/line/replay/run-analysis.ts'

const SIZE = { width: 720, height: 240, textSize: 14 }
const wanted = (more: Partial<ChartWanted>): ChartWanted => ({
  ...{ title: 'A chart.', ...SIZE, x: { label: 'metres' }, y: { label: 'mm' }, list: ['one'] },
  ...more,
})
const texts = ({ shapes }: Drawing) => shapes.filter((s): s is TextShape => s.kind === 'text')
const lines = ({ shapes }: Drawing) => shapes.filter((s): s is PolylineShape => s.kind === 'polyline')

function boxOf(t: TextShape) {
  const left = t.anchor === 'start' ? t.x : t.anchor === 'middle' ? t.x - t.width / 2 : t.x - t.width
  return { left, right: left + t.width, top: t.y - 0.7 * t.size, bottom: t.y + 0.2 * t.size, text: t.text }
}

function overlaps(drawing: Drawing): string[] {
  const boxes = texts(drawing).map(boxOf)
  return boxes.flatMap((a, i) =>
    boxes.slice(i + 1).flatMap((b) => {
      const apart =
        a.right <= b.left + 0.5 ||
        b.right <= a.left + 0.5 ||
        a.bottom <= b.top + 0.5 ||
        b.bottom <= a.top + 0.5
      return apart ? [] : [`${a.text} | ${b.text}`]
    }),
  )
}

describe('a scale', () => {
  const room = () => 40

  it('has round ticks within its ends, rising, with room for their labels', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        fc.double({ min: 1e-6, max: 1e6, noNaN: true }),
        (low, span) => {
          const scale = chartScale({ label: '' }, { low, high: low + span }, 0, 600, room)
          expect(scale.from).toBeLessThanOrEqual(low + 1e-9 * (Math.abs(low) + span))
          expect(scale.to).toBeGreaterThanOrEqual(low + span - 1e-9 * (Math.abs(low) + span))
          const labelled = scale.ticks.filter(({ label }) => label !== null)
          expect(labelled.length).toBeGreaterThanOrEqual(2)
          for (const [i, tick] of labelled.slice(1).entries())
            expect(tick.x - labelled[i]!.x).toBeGreaterThan(39.9)
          const step = labelled[1]!.value - labelled[0]!.value
          const digit = step / 10 ** Math.floor(Math.log10(step * (1 + 1e-6)))
          expect([1, 2, 5].some((round) => Math.abs(digit - round) < 1e-3)).toBe(true)
        },
      ),
    )
  })

  it('shows a value that never changes', () => {
    const scale = chartScale({ label: '' }, { low: 7, high: 7 }, 0, 600, room)
    expect(scale.at(7)).toBeGreaterThan(0)
    expect(scale.at(7)).toBeLessThan(600)
  })

  it('by decades: equal ratios are equal lengths, nought has no place', () => {
    const scale = chartScale({ label: '', log: true }, { low: 3, high: 2_500 }, 100, 500, room)
    expect([scale.from, scale.to]).toEqual([1, 10_000])
    expect(scale.at(10) - scale.at(1)).toBeCloseTo(100, 9)
    expect(scale.at(1_000) - scale.at(100)).toBeCloseTo(100, 9)
    expect(scale.at(0)).toBeNaN()
    expect(scale.ticks.flatMap(({ label }) => label ?? [])).toEqual(['1', '10', '100', '1000', '10000'])
  })

  it('nothing to show still has ends', () => {
    expect(extentOf([])).toEqual({ low: 0, high: 1 })
    expect(extentOf([[Number.NaN]], true)).toEqual({ low: 1, high: 10 })
  })
})

describe('a line', () => {
  const box = { left: 0, top: 0, right: 100, bottom: 50 }

  it('keeps every peak however many points it has, and stays in its box', () => {
    const x = Array.from({ length: 50_000 }, (_, i) => i / 500)
    const y = x.map((_, i) => (i === 31_415 ? 3 : 25))
    const pieces = plotLine(x, y, box)
    const points = pieces.flat()
    expect(points.length).toBeLessThan(450)
    expect(Math.min(...points.map(([, at]) => at))).toBe(3)
  })

  it('is cut at the edges of the box, not beyond and not before', () => {
    const [piece] = plotLine([0, 100], [-50, 100], box)
    expect(piece!.map((point) => point.map((v) => Number(v.toFixed(6))))).toEqual([
      [33.333333, 0],
      [66.666667, 50],
    ])
  })

  it('breaks where there is no number', () => {
    expect(plotLine([0, 1, 2, 3, 4], [1, 1, Number.NaN, 1, 1], box)).toHaveLength(2)
  })
})

describe('a chart', () => {
  const x = Array.from({ length: 200 }, (_, i) => i)
  const wave = (amount: number) => x.map((v) => amount * Math.sin(v / 20))

  it('tells lines apart by dash and names each at its end', () => {
    const drawing = chartDrawing(
      wanted({ lines: ['a', 'b', 'c', 'd'].map((name, i) => ({ name, x, y: wave(i + 1) })) }),
    )
    const dashes = new Set(
      lines(drawing)
        .filter((l) => l.stroke.tone === 'ink')
        .map((l) => `${l.stroke.dash}`),
    )
    expect(dashes.size).toBe(4)
    for (const name of ['a', 'b', 'c', 'd']) expect(texts(drawing).map((t) => t.text)).toContain(name)
    expect(overlaps(drawing)).toEqual([])
  })

  it('hatches a limit on the side that is not allowed', () => {
    const drawing = chartDrawing(
      wanted({
        lines: [{ name: 'a', x, y: wave(1) }],
        limits: [
          { name: 'most', value: 0.8, not: 'above' },
          { name: 'least', value: -0.8, not: 'below' },
        ],
      }),
    )
    const hatches = drawing.shapes.flatMap((s) => (s.kind === 'rect' && s.fill === 'diagonal' ? [s] : []))
    const edges = lines(drawing)
      .filter((l) => l.stroke.tone === 'plum')
      .map((l) => l.points[0]![1])
    expect(hatches).toHaveLength(2)
    expect(hatches[0]!.y + hatches[0]!.height).toBeCloseTo(edges[0]!, 9)
    expect(hatches[1]!.y).toBeCloseTo(edges[1]!, 9)
  })

  it('with many events puts numbers for words, and drops them before they cover the plot', () => {
    const events = (count: number) => x.slice(0, count).map((at) => ({ x: at, text: `event number ${at}` }))
    const some = chartDrawing(wanted({ lines: [{ name: 'a', x, y: wave(1) }], events: events(30) }))
    expect(texts(some).map((t) => t.text)).toContain('30')
    for (const count of [3, 30, 200])
      expect(
        overlaps(chartDrawing(wanted({ lines: [{ name: 'a', x, y: wave(1) }], events: events(count) }))),
      ).toEqual([])
  })

  it('whatever it is given it stays within its size, and text is only text', () => {
    const value = fc.oneof(
      fc.double({ min: -1e9, max: 1e9 }),
      fc.constantFrom(Number.NaN, Infinity, 0, 1e-12),
    )
    const list = fc.array(value, { minLength: 0, maxLength: 30 })
    const name = fc.oneof(fc.string({ maxLength: 60 }), fc.constant('<script>alert(1)</script>'))
    fc.assert(
      fc.property(list, list, name, value, fc.boolean(), (xs, ys, text, limit, log) => {
        const drawing = chartDrawing(
          wanted({
            ...{ x: { label: text, log }, y: { label: text, log } },
            lines: [{ name: text, x: xs, y: ys, dots: true }],
            ...(Number.isFinite(limit)
              ? { limits: [{ name: text, value: limit, not: 'above' as const }] }
              : {}),
            events: [{ x: 3, toX: 5, text }],
          }),
        )
        for (const shape of drawing.shapes) {
          const points =
            shape.kind === 'polyline' || shape.kind === 'polygon'
              ? shape.points
              : [[shape.x, shape.y] as const]
          for (const [px, py] of points) {
            expect(Number.isFinite(px) && Number.isFinite(py)).toBe(true)
            expect(px >= -1 && px <= SIZE.width + 1 && py >= -1 && py <= SIZE.height + 1).toBe(true)
          }
        }
      }),
      { numRuns: 300 },
    )
  })
})

describe('charts of a run', () => {
  const setup = setupFor(8.1)
  const { record } = simulatedRun({
    ...{ seed: 2, odMm: 8.1, lengthM: 150, slips: [{ fromM: 40, toM: 48, ratio: 0.03 }] },
    ...{ lumps: [{ atM: 90, longM: 0.9, overMm: 0.5 }], pinholes: [110] },
  })
  const run = replayRun(record, setup)
  const charts: RunChart[] = ['speed', 'uncounted', 'diameter', 'spark', 'tension', 'dancer']

  it.each(charts)('%s: nothing overlaps, the findings are in the list', (chart) => {
    const drawing = runChart(chart, run, setup, SIZE)
    expect(overlaps(drawing)).toEqual([])
    expect(drawing.list.length).toBeGreaterThan(0)
  })

  it('a lump stands above its place on the strip', () => {
    const drawing = runChart('diameter', run, setup, SIZE)
    const label = texts(drawing).find((t) => t.text === 'lump')!
    const at = (value: string) => texts(drawing).find((t) => t.text === value && t.anchor === 'middle')!.x
    const placeM = 80 + (20 * (label.x + label.width / 2 - at('80'))) / (at('100') - at('80'))
    // 90 to 90.9 m; a letter's width of 14 units is about 3 m here
    expect(Math.abs(placeM - 90.45)).toBeLessThan(1)
  })
})
