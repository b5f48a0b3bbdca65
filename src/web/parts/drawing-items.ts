import type { Drawing, DrawingLine, Shape, ShapeOwner } from '../../drawing/shape.ts'

/** A line of what the drawing says, with the box on the drawing that it speaks of. */
export interface DrawingItem {
  key: string
  line: DrawingLine
  box: { x: number; y: number; width: number; height: number } | null
}

export function ownerKey(of: ShapeOwner): string {
  return 'interval' in of ? `interval ${of.interval}` : `fault ${of.fault}`
}

function boxOf(shape: Shape): DrawingItem['box'] {
  if (shape.kind === 'rect') return { x: shape.x, y: shape.y, width: shape.width, height: shape.height }
  if (shape.kind !== 'polygon') return null
  const xs = shape.points.map(([x]) => x)
  const ys = shape.points.map(([, y]) => y)
  const x = Math.min(...xs)
  const y = Math.min(...ys)
  return { x, y, width: Math.max(...xs) - x, height: Math.max(...ys) - y }
}

function union(a: DrawingItem['box'], b: NonNullable<DrawingItem['box']>): NonNullable<DrawingItem['box']> {
  if (!a) return b
  const x = Math.min(a.x, b.x)
  const y = Math.min(a.y, b.y)
  return {
    x,
    y,
    width: Math.max(a.x + a.width, b.x + b.width) - x,
    height: Math.max(a.y + a.height, b.y + b.height) - y,
  }
}

/** The lines of a drawing in their order, each with the box around its areas. */
export function drawingItems(drawing: Drawing): DrawingItem[] {
  const boxes = new Map<string, NonNullable<DrawingItem['box']>>()
  for (const shape of drawing.shapes) {
    const box = shape.of && boxOf(shape)
    if (!shape.of || !box) continue
    const key = ownerKey(shape.of)
    boxes.set(key, union(boxes.get(key) ?? null, box))
  }
  return drawing.list.map((line, i) => {
    const key = line.of ? ownerKey(line.of) : `line ${i}`
    return { key, line, box: boxes.get(key) ?? null }
  })
}
