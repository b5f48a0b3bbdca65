import type { ChartFrame } from './chart-axes.ts'
import { plotLine } from './chart-line.ts'
import type { Shape } from './shape.ts'

/** A limit that changes along the axis: an edge that is not to be crossed, hatched on the side that is not allowed. */
export interface ChartEdge {
  name: string
  x: ArrayLike<number>
  y: ArrayLike<number>
  not: 'above' | 'below'
  /** Dashed and without hatch: a limit inside the limit. */
  inner?: boolean
}

const HATCH_EM = 0.5
const PITCH_EM = 0.55

/** The edge, and short strokes from it at even distances along the axis; lines only, so that every painter can. */
export function edgeShapes({ x, y, not, inner }: ChartEdge, frame: ChartFrame): Shape[] {
  const xs = Float64Array.from(x, (v) => frame.x.at(v))
  const ys = Float64Array.from(y, (v) => frame.y.at(v))
  const pieces = plotLine(xs, ys, frame)
  const stroke = { tone: 'plum' as const, width: 1, ...(inner ? { dash: [5, 3] as [number, number] } : {}) }
  const shapes: Shape[] = pieces.map((points) => ({ kind: 'polyline', points, stroke }))
  if (inner) return shapes
  const [pitch, rise] = [PITCH_EM * frame.em, (not === 'above' ? -1 : 1) * HATCH_EM * frame.em]
  for (const points of pieces)
    for (const [px, py] of alongX(points, pitch)) {
      const to = Math.min(frame.bottom, Math.max(frame.top, py + rise))
      shapes.push({
        kind: 'polyline',
        points: [
          [px, py],
          [Math.min(frame.right, px + Math.abs(to - py)), to],
        ],
        stroke: { tone: 'plum', width: 0.6 },
      })
    }
  return shapes
}

/** Points of a line at even distances along x. */
function alongX(points: [number, number][], pitch: number): [number, number][] {
  const found: [number, number][] = []
  let next = points[0]?.[0] ?? 0
  for (let i = 1; i < points.length; i++) {
    const [[x1, y1], [x2, y2]] = [points[i - 1]!, points[i]!]
    for (; next <= x2; next += pitch)
      if (next >= x1) found.push([next, x2 > x1 ? y1 + ((y2 - y1) * (next - x1)) / (x2 - x1) : y1])
  }
  return found
}
