import { type Chain, cableLossDb, connectorLossDb } from '../lead/chain.ts'
import { type ChainLoss, chainLoss } from '../lead/chain-loss.ts'
import type { Load } from '../lead/chain-power.ts'
import { lossCurve } from '../lead/loss-curve.ts'
import { figureText } from '../quantity/length-text.ts'
import { type ChartLine, chartDrawing } from './chart-drawing.ts'
import type { Drawing } from './shape.ts'

const POINTS = 97
/** Room beyond the end of the figures, so that it can be seen that there are none. */
const BEYOND = 1.35

/** Loss of a chain over frequency: published points, the fit through them, what is promised, and where the figures end. */
export function lossChart(
  chain: Chain,
  load: Load,
  loss: ChainLoss,
  size: { width: number; height: number; textSize: number },
): Drawing {
  const { fit, validity, cable } = chain
  const to = validity.validToMhz
  const fromMhz = Math.min(...fit.points.map((p) => p.fMhz), load.fMhz, to / 10)
  const curve = lossCurve(chain, fromMhz, POINTS)
  const x = curve.map((p) => p.fMhz)
  const points = fit.points.filter((p) => p.fMhz <= to)
  const atPoint = (p: (typeof points)[number]) =>
    (p.attDbPer100m * chain.lengthM * chain.tempFactor) / 100 +
    connectorLossDb(chain.a, p.fMhz) +
    connectorLossDb(chain.b, p.fMhz)
  const lines: ChartLine[] = [{ name: 'matched', x, y: curve.map((p) => p.matchedLossDb) }]
  if (load.vswr > 1)
    lines.push({
      name: `VSWR ${figureText(load.vswr, 2)}`,
      x,
      y: x.map((fMhz) => chainLoss(chain, { ...load, fMhz }, null).totalLossDb),
    })
  if (points.length > 0)
    lines.push({ name: 'tested points', x: points.map((p) => p.fMhz), y: points.map(atPoint), dots: 'only' })
  const lowest = Math.min(...curve.map((p) => p.matchedLossDb), ...points.map(atPoint))
  const highest = Math.max(...curve.map((p) => p.limitDb), loss.totalLossDb)
  const ends = `figures end at ${figureText(to, 0)} MHz`
  return chartDrawing({
    ...size,
    title: `Loss of ${figureText(chain.lengthM)} m of ${cable.cable} over frequency.`,
    x: { label: 'frequency, MHz', from: fromMhz, to: to * BEYOND, log: true },
    y: { label: 'loss, dB', log: true, from: 0.8 * lowest, to: 1.5 * highest },
    lines,
    edges: [{ name: 'promised at most', x, y: curve.map((p) => p.limitDb), not: 'above' }],
    events: [
      { x: load.fMhz, text: `${figureText(load.fMhz, 3)} MHz` },
      { x: to, toX: to * BEYOND, text: ends, wrong: true },
    ],
    list: [
      fitSentence(chain),
      `At ${figureText(load.fMhz, 3)} MHz: matched ${figureText(loss.matchedLossDb)} dB, into the load ${figureText(loss.totalLossDb)} dB, promised at most ${figureText(loss.matchedLossLimitDb)} dB.`,
      ...points.map(
        (p) =>
          `Tested at ${figureText(p.fMhz, 3)} MHz: ${figureText(p.attDbPer100m)} dB/100 m, here ${figureText(atPoint(p))} dB; the fit says ${figureText(cableLossDb(chain, p.fMhz) + connectorLossDb(chain.a, p.fMhz) + connectorLossDb(chain.b, p.fMhz))} dB.`,
      ),
      `No figure above ${figureText(to, 0)} MHz: ${validity.endedBy}.`,
    ],
  })
}

/** Where the curve comes from and how well it fits. */
export function fitSentence({ fit, cable }: Chain): string {
  const law = `${figureText(fit.a, 5)}·√f + ${figureText(fit.b, 6)}·f dB/100 m at 20 °C, f in MHz`
  if (fit.from === 'construction')
    return `The curve is ${law}, from the dimensions of ${cable.cable}; it has no tested points.`
  if (fit.from === 'declared')
    return `The curve is ${law}, as declared for ${cable.cable}; too few tested points to fit one.`
  const worst = fit.worstPct === null ? '' : `, the worst of them ${figureText(fit.worstPct, 1)} % off`
  return `The curve is ${law}, fitted through ${fit.points.length} tested points of ${cable.cable}${worst}.`
}
