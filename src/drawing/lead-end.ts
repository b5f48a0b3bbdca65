import type { StripDimensions } from '../lead/strip-dimensions.ts'
import { figureText } from '../quantity/length-text.ts'
import type { Drawing, Fill, Shape, Stroke, TextShape } from './shape.ts'
import { textWidth } from './text-width.ts'

const INK: Stroke = { tone: 'ink', width: 1.2 }
const HAIR: Stroke = { tone: 'quiet', width: 0.8 }

export interface LeadEndInput {
  end: 'A' | 'B'
  strip: StripDimensions
  width: number
  textSize: number
}

/** Jacket drawn behind the part that is bared, as a share of that part. */
const JACKET_SHARE = 0.35
/** Room at the left, where the name of the jacket begins. */
const LEFT_EM = 4.5
/** Rows of names above the cable, in letter sizes. */
const NAME_EM = 1.3
/** Rows of measures below the cable, in letter sizes. */
const ROW_EM = 1.9

/** One bared end of the cable to scale, cut face to the right: layers told apart by pattern and name, every length from the cut face. */
export function leadEndDrawing({ end, strip, width, textSize: text }: LeadEndInput): Drawing {
  const left = LEFT_EM * text
  const totalMm = strip.jacketMm * (1 + JACKET_SHARE)
  const scale = (width - left - text) / totalMm
  const face = left + totalMm * scale
  const top = 4 * NAME_EM * text + 0.6 * text
  const axisY = top + (strip.odMm / 2) * scale
  const layers: { name: string; fromMm: number; diameterMm: number; fill: Fill }[] = [
    { name: 'inner', fromMm: 0, diameterMm: strip.innerOdMm, fill: 'paper' },
    { name: 'dielectric', fromMm: strip.dielectricMm, diameterMm: strip.dielectricOdMm, fill: 'dots' },
    { name: 'braid', fromMm: strip.braidMm, diameterMm: strip.overBraidMm, fill: 'crossed' },
    { name: 'jacket', fromMm: strip.jacketMm, diameterMm: strip.odMm, fill: 'diagonal' },
  ]
  const bottom = axisY + (strip.odMm / 2) * scale
  // a pattern lets through what lies below it, so each layer is paper first
  const shapes = layers.flatMap(({ fromMm, diameterMm, fill }): Shape[] => {
    const box = {
      ...{ kind: 'rect' as const, x: left, y: axisY - (diameterMm / 2) * scale },
      ...{ width: (totalMm - fromMm) * scale, height: diameterMm * scale, stroke: INK },
    }
    return fill === 'paper'
      ? [{ ...box, fill }]
      : [
          { ...box, fill: 'paper' },
          { ...box, fill },
        ]
  })
  for (const [i, layer] of layers.entries()) {
    const toMm = layers[i + 1]?.fromMm ?? totalMm
    const x = face - ((layer.fromMm + toMm) / 2) * scale
    const y = (i + 1) * NAME_EM * text
    shapes.push(...nameOf(layer, x, y, axisY - (layer.diameterMm / 2) * scale, text))
  }
  const measures = layers
    .slice(1)
    .map(({ name, fromMm }, row) => ({ name, fromMm, y: bottom + (row + 1) * ROW_EM * text }))
  for (const { name, fromMm, y } of measures)
    shapes.push(...measure(name, fromMm, y, bottom, face, scale, text))
  const list = [
    `cut face to the right; the jacket goes over ${figureText(strip.jacketMm, 1)} mm from it, the braid over ${figureText(strip.braidMm, 1)} mm, the dielectric over ${figureText(strip.dielectricMm, 1)} mm, each ±${strip.plusMinusMm} mm`,
    `braid lies open for ${figureText(strip.openBraidMm, 1)} mm, dielectric for ${figureText(strip.openDielectricMm, 1)} mm, inner conductor for ${figureText(strip.dielectricMm, 1)} mm`,
    ...strip.checks,
  ]
  return {
    ...{ width, shapes, height: bottom + (layers.length - 0.4) * ROW_EM * text },
    title: `End ${end}, bared for ${strip.part}, to scale`,
    list: list.map((line) => ({ text: line, of: null })),
  }
}

/** Name and diameter of a layer above its bared part; the innermost stands highest, so that no leader runs through a name. */
function nameOf(
  { name, diameterMm }: { name: string; diameterMm: number },
  x: number,
  y: number,
  to: number,
  text: number,
): Shape[] {
  const caption = `${name} Ø ${figureText(diameterMm, 2)}`
  return [line([x, y - 0.6 * text], [x, to], HAIR), words(caption, x - 0.4 * text, y, 'end', text)]
}

function measure(
  name: string,
  fromMm: number,
  y: number,
  bottom: number,
  face: number,
  scale: number,
  text: number,
): Shape[] {
  const x = face - fromMm * scale
  const tick = 0.3 * text
  const caption = `${name} ${figureText(fromMm, 1)}`
  const ends = [x, face].map((at) => line([at, y - tick], [at, y + tick], HAIR))
  return [
    line([x, bottom], [x, y + tick], { ...HAIR, dash: [2, 3] }),
    line([x, y], [face, y], HAIR),
    ...ends,
    words(
      caption,
      Math.max((x + face) / 2, face - 0.5 * textWidth(caption, text) - fromMm * scale),
      y + 1.05 * text,
      'middle',
      text,
    ),
  ]
}

function words(content: string, x: number, y: number, anchor: TextShape['anchor'], size: number): TextShape {
  return {
    ...{ kind: 'text', x, y, text: content, size, anchor, bold: false, tone: 'ink', halo: true },
    width: textWidth(content, size),
  }
}

function line(from: [number, number], to: [number, number], stroke: Stroke): Shape {
  return { kind: 'polyline', points: [from, to], stroke }
}
