import type { Fill } from './shape.ts'

/** Distance between the lines or dots of a pattern, in drawing units; a screen's SVG tile is a square of this side. */
export const PATTERN_PITCH = 6
export const DOT_RADIUS = 0.7

export interface PatternMarks {
  lines: [x1: number, y1: number, x2: number, y2: number][]
  dots: [x: number, y: number][]
}

/**
 * The marks of a pattern within a box, for a painter that has no tiles. Tiles are anchored at the origin of the
 * drawing, so that neighbouring boxes join without a seam.
 */
export function patternMarks(x: number, y: number, width: number, height: number, fill: Fill): PatternMarks {
  const marks: PatternMarks = { lines: [], dots: [] }
  if (fill === 'dots') marks.dots = dotsIn(x, y, width, height)
  if (fill === 'diagonal' || fill === 'crossed') marks.lines.push(...risingIn(x, y, width, height))
  if (fill === 'crossed') {
    // a falling line is a rising one seen in a mirror that stands at the origin
    for (const [x1, y1, x2, y2] of risingIn(-x - width, y, width, height))
      marks.lines.push([-x1, y1, -x2, y2])
  }
  return marks
}

function dotsIn(x: number, y: number, width: number, height: number): [number, number][] {
  const dots: [number, number][] = []
  const first = (at: number) => Math.ceil((at + DOT_RADIUS) / PATTERN_PITCH - 0.5) + 0.5
  for (let row = first(y); row * PATTERN_PITCH <= y + height - DOT_RADIUS; row++)
    for (let col = first(x); col * PATTERN_PITCH <= x + width - DOT_RADIUS; col++)
      dots.push([col * PATTERN_PITCH, row * PATTERN_PITCH])
  return dots
}

/** Lines x + y = k · pitch, clipped to the box. */
function risingIn(x: number, y: number, width: number, height: number): PatternMarks['lines'] {
  const lines: PatternMarks['lines'] = []
  const last = x + width + y + height
  for (let k = Math.ceil((x + y) / PATTERN_PITCH); k * PATTERN_PITCH < last; k++) {
    const sum = k * PATTERN_PITCH
    const x1 = Math.max(x, sum - y - height)
    const x2 = Math.min(x + width, sum - y)
    if (x2 > x1) lines.push([x1, sum - x1, x2, sum - x2])
  }
  return lines
}
