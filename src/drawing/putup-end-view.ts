import { outerDiameterMm } from '../putup/winding.ts'
import type { PutupDrawingInput, PutupLayout } from './putup-layout.ts'
import type { Shape, Stroke } from './shape.ts'

const INK: Stroke = { tone: 'ink', width: 1.2 }
const LAYER: Stroke = { tone: 'line', width: 0.7 }
const TIE: Stroke = { tone: 'ink', width: 3 }
/** Rings of layers closer than this would run into one grey. */
const LEAST_RING = 2

/** Flange, cable with its layers, barrel, outermost first since each hides what lies below it; a coil with its ties. */
export function endView(layout: PutupLayout, { putup, wound, ties }: PutupDrawingInput): Shape[] {
  const ring = (diameterMm: number, stroke: Stroke): Shape => ({
    kind: 'circle',
    x: layout.endX,
    y: layout.axisY,
    radius: (diameterMm / 2) * layout.scale,
    stroke,
  })
  const shapes: Shape[] = []
  if (putup.flangeMm !== null) shapes.push(ring(putup.flangeMm, INK))
  if (wound !== null) {
    const { winding, state } = wound
    shapes.push(ring(state.outerDiameterMm, INK))
    if (winding.odMm * winding.layerFactor * layout.scale >= LEAST_RING)
      for (let layer = state.layer - 1; layer >= 1; layer--)
        shapes.push(ring(outerDiameterMm(winding, layer), LAYER))
  }
  shapes.push(ring(putup.barrelMm, INK))
  if (wound === null) return shapes
  for (let tie = 0; tie < ties; tie++) {
    const angle = (2 * Math.PI * tie) / ties - Math.PI / 2
    const at = (diameterMm: number): [number, number] => [
      layout.endX + Math.cos(angle) * (diameterMm / 2) * layout.scale,
      layout.axisY + Math.sin(angle) * (diameterMm / 2) * layout.scale,
    ]
    shapes.push({
      kind: 'polyline',
      points: [at(putup.barrelMm), at(wound.state.outerDiameterMm)],
      stroke: TIE,
    })
  }
  return shapes
}
