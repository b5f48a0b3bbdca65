/** A line as pieces that lie within the plot, thinned to what can be seen. */
export interface PlotBox {
  left: number
  top: number
  right: number
  bottom: number
}

type Point = [x: number, y: number]

/**
 * Points in drawing units as polylines within the box. A point without a number breaks the line. Where there are many
 * points to one unit of width, the first, lowest, highest and last of them stand for all: no peak is lost.
 */
export function plotLine(x: ArrayLike<number>, y: ArrayLike<number>, box: PlotBox): Point[][] {
  const pieces: Point[][] = []
  let piece: Point[] = []
  for (let i = 0; i < x.length; i++) {
    if (Number.isFinite(x[i]!) && Number.isFinite(y[i]!)) piece.push([x[i]!, y[i]!])
    else {
      pieces.push(piece)
      piece = []
    }
  }
  pieces.push(piece)
  return pieces.flatMap((points) => clipped(thinned(points), box))
}

function thinned(points: Point[]): Point[] {
  const first = points[0]
  const last = points.at(-1)
  if (!first || !last || points.length < 4 * Math.abs(last[0] - first[0])) return points
  const kept: Point[] = []
  for (let i = 0; i < points.length; ) {
    const unit = Math.floor(points[i]![0])
    let end = i
    let [low, high] = [i, i]
    for (; end < points.length && Math.floor(points[end]![0]) === unit; end++) {
      if (points[end]![1] < points[low]![1]) low = end
      if (points[end]![1] > points[high]![1]) high = end
    }
    const shown = [...new Set([i, Math.min(low, high), Math.max(low, high), end - 1])]
    for (const k of shown) kept.push(points[k]!)
    i = end
  }
  return kept
}

/** Cuts every stretch at the edges of the box (Liang and Barsky, 1984). */
function clipped(points: Point[], box: PlotBox): Point[][] {
  const inside = ([x, y]: Point) => x >= box.left && x <= box.right && y >= box.top && y <= box.bottom
  if (points.every(inside)) return points.length > 1 ? [points] : []
  const found: Point[][] = []
  let run: Point[] = []
  for (let i = 1; i < points.length; i++) {
    const part = cut(points[i - 1]!, points[i]!, box)
    if (!part) continue
    const last = run.at(-1)
    if (last && last[0] === part[0][0] && last[1] === part[0][1]) run.push(part[1])
    else {
      if (run.length > 1) found.push(run)
      run = [...part]
    }
  }
  if (run.length > 1) found.push(run)
  return found
}

function cut([x1, y1]: Point, [x2, y2]: Point, box: PlotBox): [Point, Point] | null {
  let [from, to] = [0, 1]
  const [dx, dy] = [x2 - x1, y2 - y1]
  for (const [p, q] of [
    [-dx, x1 - box.left],
    [dx, box.right - x1],
    [-dy, y1 - box.top],
    [dy, box.bottom - y1],
  ] as const) {
    if (p === 0) {
      if (q < 0) return null
    } else if (p < 0) from = Math.max(from, q / p)
    else to = Math.min(to, q / p)
  }
  if (from > to) return null
  const at = (share: number): Point => [x1 + share * dx, y1 + share * dy]
  return [from === 0 ? [x1, y1] : at(from), to === 1 ? [x2, y2] : at(to)]
}
