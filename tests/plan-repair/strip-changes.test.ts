import { describe, expect, it } from 'vitest'
import { stripChanges } from '../../src/drawing/strip-changes.ts'
import { stripDrawing } from '../../src/drawing/strip-drawing.ts'
import type { Interval } from '../../src/strip/cut-plan.ts'
import { usableDrum } from '../../src/strip/usable.ts'
import { kelderwick } from '../plan/kelderwick-input.ts'
import { drumRow, marksOf } from '../plan/rows.ts'

const drum = drumRow({ drum: 'D1', cable: 'C069-75', bookUm: 100e6 })
const usable = usableDrum(drum, [marksOf(drum)], [], kelderwick().site.cutRules)

const piece = (order: string, fromM: number, toM: number, number = 1): Interval => ({
  fromUm: fromM * 1e6,
  toUm: toM * 1e6,
  use: 'piece',
  order,
  orderLine: 1,
  piece: number,
  part: 1,
  count: 1,
  declaredUm: (toM - fromM) * 1e6,
  putup: 'C-380',
})
const end: Interval = { fromUm: 0, toUm: 5e6, use: 'end' }
const rest = (fromM: number): Interval => ({ fromUm: fromM * 1e6, toUm: 100e6, use: 'remnant', putup: null })

const before = [end, piece('A', 5, 25), piece('B', 25, 45), rest(45)]
const after = [end, piece('A', 5, 25, 2), piece('C', 25, 40), piece('B', 40, 60), rest(60)]

describe('what a mounting does otherwise than before (SCREENS.md: a bar at the left edge, the old place dashed)', () => {
  it('is each piece that did not lie there, whatever its number', () => {
    const { changed, oldPlaces } = stripChanges(after, before)
    expect([...changed]).toEqual([2, 3])
    expect(oldPlaces).toEqual([before[2]])
    expect([...stripChanges(after, null).changed]).toEqual([1, 2, 3])
    expect(stripChanges(before, before)).toEqual({ changed: new Set(), oldPlaces: [] })
  })

  it('is drawn as a bar at the left edge of the band and a dashed outline, and said in the list', () => {
    const draw = (changes: boolean) =>
      stripDrawing({
        usable,
        mounting: { intervals: after },
        width: 800,
        textSize: 12,
        unitOf: () => 'm',
        ...(changes ? { changes: stripChanges(after, before) } : {}),
      })
    const marked = draw(true)
    expect(marked.list.filter((l) => l.text.endsWith('(changed)')).map((l) => l.of)).toEqual([
      { interval: 2 },
      { interval: 3 },
    ])
    const plain = draw(false)
    const isNew = (s: object) => !plain.shapes.some((p) => JSON.stringify(p) === JSON.stringify(s))
    const marks = marked.shapes.filter(isNew)
    expect(marks.filter((s) => s.kind === 'rect' && s.stroke?.dash)).toHaveLength(1)
    const bars = marks.filter((s) => s.kind === 'polyline')
    const bands = marked.shapes.filter((s) => s.kind === 'rect' && s.of && 'interval' in s.of)
    expect(bars).toHaveLength(2)
    for (const bar of bars) {
      if (bar.kind !== 'polyline') continue
      const band = bands.find((b) => b.kind === 'rect' && JSON.stringify(b.of) === JSON.stringify(bar.of))
      if (band?.kind !== 'rect') throw new Error('no band')
      // within the band, at its left edge
      const barLeft = bar.points[0]![0] - bar.stroke.width / 2
      expect(barLeft).toBeCloseTo(band.x, 6)
      expect(bar.points.map(([, y]) => y)).toEqual([band.y, band.y + band.height])
    }
  })
})
