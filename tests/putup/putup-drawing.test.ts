import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { putupDrawing } from '../../src/drawing/putup-drawing.ts'
import type { CircleShape, Shape, TextShape } from '../../src/drawing/shape.ts'
import type { Putup } from '../../src/putup/putup.ts'
import { windingAt, windingOf } from '../../src/putup/winding.ts'
import { anyDrum, anyOdMm, drumOf, WORKS_RULES } from './sample-putups.ts'

function draw(putup: Putup, odMm: number, lengthM: number, width = 700, ties = 0) {
  const winding = windingOf(putup, odMm, WORKS_RULES)
  const wound = winding && { winding, state: windingAt(winding, lengthM), lengthM }
  return putupDrawing({ putup, cable: 'T081-50', wound, ties, width, textSize: 13 })
}

const circles = (shapes: Shape[]) => shapes.filter((s): s is CircleShape => s.kind === 'circle')
const texts = (shapes: Shape[]) => shapes.filter((s): s is TextShape => s.kind === 'text')

describe('the drawing of a wound put-up', () => {
  it('is to one scale in both views', () => {
    const { shapes } = draw(drumOf(500, 220, 300), 8.1, 250)
    const rings = circles(shapes).filter((c) => c.radius > 20)
    const widest = Math.max(...rings.map((c) => c.radius))
    const scale = widest / 250
    // outermost over 9 layers: 220 + 2 · 8.1 · (1 + 8 · 0.95); the barrel inside
    const sizes = rings.map((c) => c.radius / scale).sort((a, b) => b - a)
    expect(sizes[1]).toBeCloseTo((220 + 2 * 8.1 * (1 + 8 * 0.95)) / 2, 6)
    expect(sizes.at(-1)).toBeCloseTo(110, 6)
    const barrel = shapes.find((s) => s.kind === 'rect')!
    expect(barrel).toMatchObject({ fill: 'paper' })
    expect(barrel.kind === 'rect' && barrel.width / scale).toBeCloseTo(300, 6)
    expect(barrel.kind === 'rect' && barrel.height / scale).toBeCloseTo(220, 6)
  })

  it('shows the turns one by one where there is room, above and below the axis', () => {
    // 10 m of 14 mm cable on a barrel of 400: 7.7 turns on a layer of 29
    const { shapes } = draw(drumOf(800, 400, 480), 14.2, 10)
    const turns = circles(shapes).filter((c) => c.radius < 10)
    expect(turns).toHaveLength(2 * Math.round(10_000 / (Math.PI * 414.2)))
    expect(new Set(turns.map((c) => c.y.toFixed(6))).size).toBe(2)
  })

  it('shows blocks where single turns would run into one grey', () => {
    const { shapes } = draw(drumOf(1000, 500, 600), 2.8, 3000, 500)
    expect(shapes.filter((s) => s.kind === 'rect' && s.fill === 'dots').length).toBe(4)
    expect(shapes.length).toBeLessThan(400)
  })

  it('says the same in words', () => {
    const { list, title } = draw(drumOf(500, 220, 300), 8.1, 250)
    expect(title).toBe('P with 250 m of T081-50')
    // by hand: eight layers of 33.25 turns are 235.63 m; 14.37 m more on a turn of π · 351.22 mm are 13.02 turns
    expect(list.map((l) => l.text)).toEqual([
      'barrel 220 mm, flange 500 mm, traverse 300 mm',
      'layer 9 of 14, turn 13 of 33.3 in it, 279 turns in all',
      '359 mm over the cable',
      '70 mm of flange free',
    ])
  })

  it('draws a coil with its ties and no flange', () => {
    const { shapes, list } = draw(drumOf(null, 280, 80), 8.1, 40, 420, 3)
    expect(shapes.filter((s) => s.kind === 'polyline' && s.stroke.width === 3)).toHaveLength(3)
    expect(list.map((l) => l.text)).toContain('3 ties')
    expect(
      texts(shapes)
        .map((t) => t.text)
        .join(),
    ).not.toContain('free')
  })

  it('draws the bare put-up where nothing can be wound', () => {
    const { title, list } = draw(drumOf(300, 400, 200), 8.1, 40)
    expect(title).toBe('P with nothing wound')
    expect(list.map((l) => l.text)).toContain('nothing can be wound on it')
  })

  it('keeps within its box, with finite figures, whatever the size', () => {
    fc.assert(
      fc.property(
        anyDrum,
        anyOdMm,
        fc.double({ min: 0, max: 3000, noNaN: true }),
        fc.integer({ min: 520, max: 1400 }),
        (drum, odMm, lengthM, width) => {
          const winding = windingOf(drum, odMm, WORKS_RULES)
          fc.pre(winding === null || !windingAt(winding, lengthM).overfull)
          const { shapes, height } = draw(drum, odMm, lengthM, width)
          for (const shape of shapes)
            for (const [x, y] of cornersOf(shape)) {
              expect(x).toBeGreaterThanOrEqual(-1)
              expect(x).toBeLessThanOrEqual(width + 1)
              expect(y).toBeGreaterThanOrEqual(-1)
              expect(y).toBeLessThanOrEqual(height + 1)
            }
        },
      ),
    )
  })
})

function cornersOf(shape: Shape): [number, number][] {
  switch (shape.kind) {
    case 'rect':
      return [
        [shape.x, shape.y],
        [shape.x + shape.width, shape.y + shape.height],
      ]
    case 'circle':
      return [
        [shape.x - shape.radius, shape.y - shape.radius],
        [shape.x + shape.radius, shape.y + shape.radius],
      ]
    case 'text':
      // a label may be wider than a narrow traverse; where it stands must be within
      return [[shape.x, shape.y]]
    default:
      return shape.points
  }
}
