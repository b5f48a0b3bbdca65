import type { ShapeOwner } from './shape.ts'
import { textWidth } from './text-width.ts'

/** A label that stands beside the thing it names, joined to it by a leader line. */
export interface LabelRequest {
  /** Where the thing is. */
  anchorX: number
  text: string
  /** What stands for the text where there are too many labels: the number of the cut, which the list explains. */
  short?: string
  /** null where it belongs to nothing that can be selected. */
  of: ShapeOwner | null
}

export interface PlacedLabel extends LabelRequest {
  /** Left edge and width of the text. */
  x: number
  width: number
  /** 0 is the row next to the thing. */
  row: number
  /** Where the leader line runs down to the row, beside or onto the text. */
  leaderX: number
}

export interface LabelRows {
  labels: PlacedLabel[]
  rows: number
}

/** Room between labels, and between the leader lines of one column, in letter sizes. */
const GAP_EM = 0.8
const LANE_EM = 0.45
/** Of the whole width, leader lines take at most this share; with hundreds of labels they stand closer. */
const LANES_SHARE = 0.4

/**
 * Places labels so that none overlaps another and no leader crosses a text or another leader. Labels in order of their
 * anchors form columns of so many rows that all columns fit side by side; within a column the leaders run to the right
 * of the texts, the nearest to the first row. Columns keep the order of the anchors, so slanted leaders cannot cross.
 */
export function placeLabels(
  requests: LabelRequest[],
  left: number,
  right: number,
  textSize: number,
): LabelRows {
  if (requests.length === 0) return { labels: [], rows: 0 }
  const sorted = [...requests].sort((a, b) => a.anchorX - b.anchorX)
  const gap = GAP_EM * textSize
  const lane = Math.min(LANE_EM * textSize, (LANES_SHARE * (right - left)) / sorted.length)
  for (let rows = 1; ; rows++) {
    const columns = columnsOf(sorted, rows, textSize, lane)
    const needed = columns.reduce((sum, column) => sum + column.width + gap, -gap)
    if (needed <= right - left || rows >= sorted.length)
      return {
        labels: placeColumns(columns, left, right, gap, lane, textSize),
        rows: Math.min(rows, sorted.length),
      }
  }
}

interface Column {
  members: LabelRequest[]
  widths: number[]
  width: number
  /** Where its left edge would best be. */
  wishX: number
}

function columnsOf(sorted: LabelRequest[], rows: number, textSize: number, lane: number): Column[] {
  const columns: Column[] = []
  for (let i = 0; i < sorted.length; i += rows) {
    const members = sorted.slice(i, i + rows)
    const widths = members.map((m) => textWidth(m.text, textSize))
    const lanes = rows === 1 ? 0 : members.length * lane
    const width = Math.max(...widths) + lanes
    const middle = members.reduce((sum, m) => sum + m.anchorX, 0) / members.length
    columns.push({
      members,
      widths,
      width,
      wishX: rows === 1 ? middle - width / 2 : middle - width + lanes / 2,
    })
  }
  return columns
}

function placeColumns(
  columns: Column[],
  left: number,
  right: number,
  gap: number,
  lane: number,
  textSize: number,
): PlacedLabel[] {
  const starts = spread(columns, left, right, gap)
  return columns.flatMap((column, i) => {
    const x = starts[i]!
    const single = column.members.length === 1
    const lanesX = x + Math.max(...column.widths)
    return column.members.map((member, row) => {
      const width = column.widths[row]!
      const labelX = single ? x : lanesX - width
      const leaderX = single
        ? Math.min(
            Math.max(member.anchorX, x + textSize / 2),
            x + Math.max(width - textSize / 2, textSize / 2),
          )
        : lanesX + (row + 0.6) * lane
      return { ...member, x: labelX, width, row, leaderX }
    })
  })
}

/** Left edges as near to the wishes as fits without overlap: pushed right from the left, then back from the right edge. */
function spread(columns: Column[], left: number, right: number, gap: number): number[] {
  const starts: number[] = []
  let at = left
  for (const column of columns) {
    const start = Math.max(column.wishX, at)
    starts.push(start)
    at = start + column.width + gap
  }
  let limit = right
  for (let i = columns.length - 1; i >= 0; i--) {
    starts[i] = Math.min(starts[i]!, limit - columns[i]!.width)
    limit = starts[i]! - gap
  }
  return starts
}
