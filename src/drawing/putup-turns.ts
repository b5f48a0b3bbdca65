import { outerDiameterMm, turnDiameterMm, type Winding, type WoundState } from '../putup/winding.ts'
import type { PutupLayout } from './putup-layout.ts'
import type { Shape, Stroke } from './shape.ts'

/** Turns smaller than this are not drawn one by one, nor more of them than this in all: layers stand for them. */
const LEAST_TURN = 2.8
const MOST_TURNS = 2000

/** Layers thinner than this have no line between them. */
const LEAST_LAYER = 2.5

const THIN: Stroke = { tone: 'ink', width: 0.7 }
const BETWEEN: Stroke = { tone: 'line', width: 0.5 }

/** The cable in the cut, above and below the axis: turn by turn where there is room, else layer by layer. */
export function woundTurns(layout: PutupLayout, winding: Winding, state: WoundState): Shape[] {
  if (state.layer === 0) return []
  const last = state.turnsInLayer / winding.turns
  const byTurn = winding.odMm * layout.scale >= LEAST_TURN && 2 * state.turns <= MOST_TURNS
  if (!byTurn) return layerBlocks(layout, winding, state.layer, last)
  const shapes: Shape[] = []
  for (let layer = 1; layer <= state.layer; layer++)
    shapes.push(...layerTurns(layout, winding, layer, layer < state.layer ? 1 : last))
  return shapes
}

/**
 * Radially to scale. Along the axis the turns are spread over the traverse, as many as a layer holds; every second layer
 * is shifted by as much as its height lets it sink between the turns below.
 */
function layerTurns(layout: PutupLayout, winding: Winding, layer: number, share: number): Shape[] {
  const { scale } = layout
  const od = winding.odMm * scale
  const sunk = od * Math.sqrt(Math.max(0, 1 - winding.layerFactor ** 2))
  const inLayer = Math.max(1, Math.floor(winding.turns))
  const room = layout.right - layout.left - od - sunk
  const pitch = inLayer > 1 ? Math.max(0, room) / (inLayer - 1) : 0
  const radial = (turnDiameterMm(winding, layer) / 2) * scale
  const backwards = layer % 2 === 0
  const shapes: Shape[] = []
  for (let turn = 0; turn < Math.max(1, Math.round(share * inLayer)); turn++) {
    const along = od / 2 + turn * pitch
    const x = backwards ? layout.right - along : layout.left + along
    for (const y of [layout.axisY - radial, layout.axisY + radial])
      shapes.push({ kind: 'circle', x, y, radius: od / 2, stroke: THIN })
  }
  return shapes
}

/** The full layers as one block, the last as far along the traverse as it has come, lines between where they stay apart. */
function layerBlocks(layout: PutupLayout, winding: Winding, layers: number, share: number): Shape[] {
  const { left, right, axisY, scale } = layout
  const radius = (layer: number) => (outerDiameterMm(winding, layer) / 2) * scale
  const whole = right - left
  const width = whole * share
  const x = layers % 2 === 0 ? right - width : left
  const shapes: Shape[] = []
  const ring = (from: number, to: number, startX: number, across: number) => {
    for (const y of [axisY - to, axisY + from])
      shapes.push({
        kind: 'rect',
        x: startX,
        y,
        width: across,
        height: to - from,
        fill: 'dots',
        stroke: THIN,
      })
  }
  if (layers > 1) ring(radius(0), radius(layers - 1), left, whole)
  ring(radius(layers - 1), radius(layers), x, width)
  if (winding.odMm * winding.layerFactor * scale < LEAST_LAYER) return shapes
  for (let layer = 1; layer < layers - 1; layer++)
    for (const y of [axisY - radius(layer), axisY + radius(layer)])
      shapes.push({
        kind: 'polyline',
        points: [
          [left, y],
          [right, y],
        ],
        stroke: BETWEEN,
      })
  return shapes
}
