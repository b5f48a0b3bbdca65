import { type Chain, connectorLossDb } from '../lead/chain.ts'
import type { ChainLoss } from '../lead/chain-loss.ts'
import type { Connector } from '../lead/connector.ts'
import { figureText } from '../quantity/length-text.ts'
import { chartText } from './chart-axes.ts'
import { niceStep } from './ruler.ts'
import type { Drawing, Shape, Stroke } from './shape.ts'

const INK: Stroke = { tone: 'ink', width: 1.2 }
const THIN: Stroke = { tone: 'quiet', width: 0.8 }
/** A connector on a long cable is thinner than a line: it is drawn no narrower than this. */
const LEAST_CONNECTOR_EM = 0.35

/** A chain from end A to the load, to scale in metres, with what each part loses written at it. */
export function chainDrawing(
  chain: Chain,
  load: { fMhz: number; vswr: number },
  loss: ChainLoss,
  size: { width: number; textSize: number },
): Drawing {
  const { width, textSize: em } = size
  const inside = (c: Connector | null) => (c ? c.tipToCableEndMm / 1_000 : 0)
  const [aM, bM] = [inside(chain.a), inside(chain.b)]
  const totalM = aM + chain.lengthM + bM
  const left = 5.5 * em
  const room = width - left - 9 * em
  const perM = room / totalM
  const x = (m: number) => left + m * perM
  const [top, high] = [4.2 * em, 2.6 * em]
  const middle = top + high / 2
  const shapes: Shape[] = []
  shapes.push(...ruler(totalM, x, top + high + 1.1 * em, em))
  // the cable: its jacket as a band, its inner conductor as a line through it
  shapes.push({
    ...{ kind: 'rect', x: x(aM), y: top + 0.45 * em, width: chain.lengthM * perM, height: high - 0.9 * em },
    ...{ fill: 'paper', stroke: INK },
  })
  shapes.push(line([x(aM), middle], [x(aM + chain.lengthM), middle], { ...THIN, dash: [6, 3] }))
  const least = LEAST_CONNECTOR_EM * em
  const ends: [Connector | null, number, number][] = [
    [chain.a, Math.min(x(0), x(aM) - least), x(aM)],
    [chain.b, x(aM + chain.lengthM), Math.max(x(totalM), x(totalM - bM) + least)],
  ]
  for (const [connector, from, to] of ends)
    if (connector)
      shapes.push({
        ...{ kind: 'rect', x: from, y: top, width: to - from, height: high },
        ...{ fill: 'diagonal', stroke: INK },
      })
  const [first, last] = [ends[0]![1], ends[1]![2]]
  shapes.push(line([first - 3.6 * em, middle], [first, middle], INK), arrow(first, middle, em))
  shapes.push(chartText('in', first - 3.7 * em, middle + 0.35 * em, em, 'end', 'ink'))
  shapes.push(line([last, middle], [last + 2 * em, middle], INK))
  shapes.push(...loadShapes(last + 2 * em, middle, load.vswr, em))
  const endText = (c: Connector | null, word: string) =>
    c ? `${c.part} at ${word} · ${figureText(connectorLossDb(c, load.fMhz))} dB` : `no connector at ${word}`
  const cableText = `${figureText(chain.lengthM)} m of ${chain.cable.cable} · ${figureText(loss.cableLossDb)} dB`
  shapes.push(chartText(endText(chain.a, 'A'), 0, 1 * em, em, 'start', 'ink', width * 0.48))
  shapes.push(leader([Math.min(2 * em, first), 1.3 * em], [(first + x(aM)) / 2, top]))
  shapes.push(chartText(endText(chain.b, 'B'), width, 1 * em, em, 'end', 'ink', width * 0.48))
  shapes.push(leader([width - 2 * em, 1.3 * em], [(last + x(totalM - bM)) / 2, top]))
  shapes.push(chartText(cableText, x(totalM / 2), 2.6 * em, em, 'middle', 'ink', room))
  const list = [
    endText(chain.a, 'end A'),
    cableText,
    endText(chain.b, 'end B'),
    `load of VSWR ${figureText(load.vswr, 2)}`,
  ]
  return {
    ...{ width, height: top + high + 3.8 * em, shapes },
    title: `The chain, to scale, from end A to the load.`,
    list: list.map((text) => ({ text, of: null })),
  }
}

function line(from: [number, number], to: [number, number], stroke: Stroke): Shape {
  return { kind: 'polyline', points: [from, to], stroke }
}

function leader(from: [number, number], to: [number, number]): Shape {
  return line(from, to, { tone: 'quiet', width: 0.6 })
}

function arrow(x: number, y: number, em: number): Shape {
  const points: [number, number][] = [
    [x - 0.7 * em, y - 0.35 * em],
    [x, y],
    [x - 0.7 * em, y + 0.35 * em],
  ]
  return { kind: 'polyline', points, stroke: INK }
}

/** A box for the load, crossed out by nothing: its standing-wave ratio says what it is. */
function loadShapes(x: number, middle: number, vswr: number, em: number): Shape[] {
  return [
    {
      ...{ kind: 'rect', x, y: middle - 0.7 * em, width: 1.8 * em, height: 1.4 * em },
      ...{ fill: 'paper', stroke: INK },
    },
    chartText('load', x + 2.2 * em, middle - 0.1 * em, em, 'start', 'ink'),
    chartText(`VSWR ${figureText(vswr, 2)}`, x + 2.2 * em, middle + 1.1 * em, em, 'start', 'quiet'),
  ]
}

/** Metres from the tip of end A. */
function ruler(totalM: number, x: (m: number) => number, y: number, em: number): Shape[] {
  const step = niceStep(totalM / 6)
  const shapes: Shape[] = [line([x(0), y], [x(totalM), y], THIN)]
  for (let k = 0; k * step <= totalM * (1 + 1e-9); k++) {
    const at = x(k * step)
    shapes.push(line([at, y - 0.3 * em], [at, y + 0.3 * em], THIN))
    const unit = k === 0 ? ' m' : ''
    shapes.push(chartText(`${figureText(k * step)}${unit}`, at, y + 1.5 * em, em, 'middle', 'quiet'))
  }
  return shapes
}
