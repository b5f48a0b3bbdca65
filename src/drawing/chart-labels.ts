import { type ChartFrame, chartText } from './chart-axes.ts'
import type { Shape, Tone } from './shape.ts'

/** A name that belongs at the end of a line. */
export interface EndLabel {
  text: string
  /** End of the line. */
  x: number
  y: number
  tone: Tone
}

const PITCH_EM = 1.15

/** Names at the right of the plot, each as near to its line's end as fits without touching another, with a hair line to it. */
export function endLabels(labels: EndLabel[], frame: ChartFrame, roomUnits: number): Shape[] {
  const { right, bottom, em } = frame
  const sorted = [...labels].sort((a, b) => a.y - b.y)
  const pitch = PITCH_EM * em
  // from above as low as wished, then from below back up: a stack too high for the plot grows beyond its top last
  const places: number[] = []
  for (const label of sorted)
    places.push(Math.max(label.y, (places.at(-1) ?? Number.NEGATIVE_INFINITY) + pitch))
  let limit = bottom + 0.3 * em
  for (let i = places.length - 1; i >= 0; i--) {
    places[i] = Math.min(places[i]!, limit)
    limit = places[i]! - pitch
  }
  return sorted.flatMap((label, i) => {
    const y = places[i]!
    const hair: Shape = {
      kind: 'polyline',
      points: [
        [label.x, label.y],
        [right + 0.2 * em, label.y],
        [right + 0.6 * em, y],
      ],
      stroke: { tone: 'quiet', width: 0.6 },
    }
    return [hair, chartText(label.text, right + 0.8 * em, y + 0.35 * em, em, 'start', label.tone, roomUnits)]
  })
}
