import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { placeLabels } from '../../src/drawing/label-rows.ts'
import { patternMarks } from '../../src/drawing/pattern.ts'
import { rulerTicks } from '../../src/drawing/ruler.ts'
import type { Drawing, TextShape } from '../../src/drawing/shape.ts'
import { stripDrawing } from '../../src/drawing/strip-drawing.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { umFromM } from '../../src/quantity/length.ts'
import type { Interval } from '../../src/strip/cut-plan.ts'
import { type UsableDrum, usableDrum } from '../../src/strip/usable.ts'
import { demoInput } from './demo-input.ts'
import { greedyPlan } from './greedy-plan.ts'

let input: PlanInput
let plan: Plan
beforeAll(async () => {
  input = await demoInput()
  plan = greedyPlan(input)
})

const unitOf = (order: string, line: number) =>
  input.orders.find((o) => o.order === order && o.line === line)?.unit ?? 'm'

function drumOf(id: string): UsableDrum {
  const drum = input.drums.find((d) => d.drum === id)!
  const marks = input.marks.filter((m) => m.drum === id)
  return usableDrum(
    drum,
    marks,
    input.faults.filter((f) => f.drum === id),
    input.site.cutRules,
  )
}

function draw(id: string, intervals: Interval[] | null, width = 527, textSize = 9.5): Drawing {
  const mounting = intervals && { intervals }
  return stripDrawing({ usable: drumOf(id), mounting, width, textSize, unitOf })
}

const texts = (drawing: Drawing) => drawing.shapes.filter((s): s is TextShape => s.kind === 'text')

function boxOf(t: TextShape) {
  const left = t.anchor === 'start' ? t.x : t.anchor === 'middle' ? t.x - t.width / 2 : t.x - t.width
  return { left, right: left + t.width, top: t.y - 0.7 * t.size, bottom: t.y + 0.2 * t.size, text: t.text }
}

function overlaps(drawing: Drawing): string[] {
  const boxes = texts(drawing).map(boxOf)
  return boxes.flatMap((a, i) =>
    boxes.slice(i + 1).flatMap((b) => {
      const apart =
        a.right <= b.left + 0.5 || b.right <= a.left + 0.5 || a.bottom <= b.top || b.bottom <= a.top
      return apart ? [] : [`${a.text} | ${b.text}`]
    }),
  )
}

describe('strip drawing', () => {
  test.each([
    [1200, 14],
    [527, 9.5],
    [700, 14],
  ])(
    'no text runs into another and none leaves the drawing: all drums, all mountings, %i wide',
    (width, size) => {
      const drawings = [
        ...input.drums.map((d) => draw(d.drum, null, width, size)),
        ...plan.mountings.map((m) => draw(m.drum, m.intervals, width, size)),
      ]
      for (const drawing of drawings) {
        expect(overlaps(drawing)).toEqual([])
        for (const box of texts(drawing).map(boxOf)) {
          expect(box.left).toBeGreaterThanOrEqual(-0.5)
          expect(box.right).toBeLessThanOrEqual(width + 0.5)
          expect(box.bottom).toBeLessThanOrEqual(drawing.height)
        }
      }
    },
  )

  test('every piece has a label inside, beside, or with the run that it is part of', () => {
    for (const { drum, intervals } of plan.mountings) {
      const said = texts(draw(drum, intervals)).map((t) => t.text)
      const covered = new Set<number>()
      for (const text of said) {
        const [, from, to] = /^(\d+)(?: to (\d+))?: /.exec(text) ?? []
        for (let n = Number(from); n <= Number(to ?? from); n++) covered.add(n - 1)
      }
      for (const [i, interval] of intervals.entries())
        if (interval.use === 'piece') expect(covered).toContain(i)
    }
  })

  test('is to scale: bands lie where their metres are', () => {
    const intervals: Interval[] = [
      { use: 'end', fromUm: 0, toUm: umFromM(40) },
      { use: 'remnant', putup: null, fromUm: umFromM(40), toUm: umFromM(1040) },
    ]
    const bands = draw('D012', intervals).shapes.flatMap((s) => (s.kind === 'rect' && s.of ? [s] : []))
    const [end, rest] = [bands[0]!, bands[1]!]
    expect(end.fill).toBe('diagonal')
    expect(rest.fill).toBe('dots')
    expect(rest.width / end.width).toBeCloseTo(25, 9)
    expect(end.x + end.width).toBeCloseTo(rest.x, 9)
  })

  test('a restart of the print is a break in the ruler, with both marks beside it', () => {
    const drawing = draw('D032', null)
    expect(texts(drawing).map((t) => t.text)).toEqual(
      expect.arrayContaining(['4212', '4578.7', '0', '527.7', 'marks, m']),
    )
    const strokes = drawing.shapes.filter(
      (s) => s.kind === 'polyline' && s.stroke.width === 1.2 && s.points.length === 2,
    )
    expect(strokes).toHaveLength(2)
  })

  test('a drum printed in feet has its ruler in feet, falling', () => {
    const drawing = draw('D008', null)
    const at = (text: string) => texts(drawing).find((t) => t.text === text)!.x
    expect(at('1200')).toBeLessThan(at('1000'))
    expect(texts(drawing).map((t) => t.text)).toContain('marks, ft')
  })

  test('held stock carries its word, an end without cap its torn edge', () => {
    expect(texts(draw('D041', null)).map((t) => t.text)).toContain('held by quality')
    expect(texts(draw('D012', null)).map((t) => t.text)).toContain('no cap')
    expect(texts(draw('D013', null)).map((t) => t.text)).not.toContain('no cap')
  })

  test('reads out as an ordered list', () => {
    const piece = { use: 'piece' as const, order: '7116', orderLine: 1, part: 1, count: 1, putup: 'C-280' }
    const declaredUm = umFromM(99.9744)
    const drawing = draw('D001', [
      { use: 'end', fromUm: 0, toUm: umFromM(5) },
      { ...piece, piece: 1, fromUm: umFromM(5), toUm: umFromM(105.375), declaredUm },
      { use: 'scrap', cause: 'fault F001', fromUm: umFromM(105.375), toUm: umFromM(122) },
      { use: 'remnant', putup: null, fromUm: umFromM(122), toUm: umFromM(804) },
    ])
    // marks of D001 fall by 804.9 over 804 m: 3304.9 − 5·804.9/804 = 3299.9, and so on
    expect(drawing.list.map((line) => line.text)).toEqual([
      'cut 1: 5 m end, from mark 3304.9 to 3299.9 m',
      'cut 2: 328 ft for order 7116/1, from mark 3299.9 to 3199.4 m',
      'cut 3: 16.63 m scrap, fault F001, from mark 3199.4 to 3182.8 m',
      'rest: 682 m stays on the drum, from mark 3182.8 to 2500 m',
      'fault F001 LUMP, diameter over limit, to be cut out, 119.6 m from the outer end at mark 3185.2 m, give or take 0.3 m',
    ])
  })

  test('a fault that stays in a piece is an open notch, one that is cut out bites through the band', () => {
    const notch = (drawing: Drawing, fault: string) =>
      drawing.shapes.filter((s) => s.of && 'fault' in s.of && s.of.fault === fault && s.kind === 'polygon')
        .length
    expect(notch(draw('D030', null), 'F029')).toBe(0)
    expect(notch(draw('D012', null), 'F008')).toBe(2)
    const scrapped: Interval[] = [{ use: 'scrap', cause: 'x', fromUm: 0, toUm: umFromM(426) }]
    expect(notch(draw('D030', scrapped), 'F029')).toBe(2)
  })

  test('several hundred different pieces on one drum stay a drawing: numbers stand for the labels', () => {
    const intervals: Interval[] = Array.from({ length: 300 }, (_, i) => ({
      ...{ use: 'piece', order: `O${i}`, orderLine: 1, piece: 1, part: 1, count: 1, putup: 'C-220' },
      ...{ declaredUm: umFromM(3), fromUm: umFromM(3.4 * i), toUm: umFromM(3.4 * (i + 1)) },
    }))
    const drawing = draw('D012', intervals)
    expect(drawing.height).toBeLessThan(450)
    expect(overlaps(drawing)).toEqual([])
  })
})

describe('labels beside the band', () => {
  const requests = fc.array(
    fc.record({
      anchorX: fc.double({ min: 0, max: 500, noNaN: true }),
      text: fc.string({ minLength: 1, maxLength: 25 }),
    }),
    { minLength: 1, maxLength: 60 },
  )

  test('do not overlap, and their leaders neither cross nor run through a text', () => {
    fc.assert(
      fc.property(requests, (wanted) => {
        const { labels } = placeLabels(
          wanted.map((w) => ({ ...w, of: { interval: 0 } })),
          0,
          500,
          10,
        )
        expect(labels).toHaveLength(wanted.length)
        for (const [i, a] of labels.entries())
          for (const b of labels.slice(i + 1)) {
            const apart = a.row !== b.row || a.x + a.width <= b.x || b.x + b.width <= a.x
            expect(apart).toBe(true)
            // anchors and leaders stand in the same order, so slanted lines between them do not cross
            expect(a.anchorX <= b.anchorX && a.leaderX < b.leaderX).toBe(true)
          }
        for (const a of labels)
          for (const b of labels)
            if (b.row < a.row) expect(a.leaderX > b.x && a.leaderX < b.x + b.width).toBe(false)
      }),
    )
  })
})

describe('rulers and patterns', () => {
  test('ticks stand on round figures and are labelled without touching', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -10_000, max: 10_000, noNaN: true }),
        fc.double({ min: -5_000, max: 5_000, noNaN: true }),
        fc.integer({ min: 1, max: 2000 }),
        (from, span, width) => {
          const ticks = rulerTicks(0, width, from, from + span, 10)
          const labels = ticks.filter((t) => t.label !== null).sort((a, b) => a.x - b.x)
          for (const [i, tick] of labels.slice(1).entries()) expect(tick.x - labels[i]!.x).toBeGreaterThan(10)
          for (const tick of ticks) expect(tick.x).toBeLessThanOrEqual(width + 1e-6)
          expect(ticks.length).toBeLessThan(width + 20)
        },
      ),
    )
  })

  test('marks of a pattern keep within their box', () => {
    const box = fc.record({
      x: fc.integer({ min: -50, max: 50 }),
      w: fc.integer({ min: 1, max: 90 }),
      h: fc.integer({ min: 1, max: 40 }),
    })
    fc.assert(
      fc.property(
        box,
        fc.constantFrom('dots' as const, 'diagonal' as const, 'crossed' as const),
        ({ x, w, h }, fill) => {
          const { lines, dots } = patternMarks(x, 7, w, h, fill)
          const points = [
            ...dots,
            ...lines.flatMap(([a, b, c, d]): [number, number][] => [
              [a, b],
              [c, d],
            ]),
          ]
          for (const [px, py] of points) {
            expect(px >= x - 1e-9 && px <= x + w + 1e-9).toBe(true)
            expect(py >= 7 - 1e-9 && py <= 7 + h + 1e-9).toBe(true)
          }
        },
      ),
    )
  })
})
