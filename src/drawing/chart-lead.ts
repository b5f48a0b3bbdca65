import type { Judgement } from '../lead/judge.ts'
import { figureText } from '../quantity/length-text.ts'
import { type ChartWanted, chartDrawing } from './chart-drawing.ts'
import type { Drawing } from './shape.ts'

/** What a certificate or a screen shows of a judged lead, one chart a question. */
export type LeadChart = 'loss' | 'return loss' | 'places'

type Content = Pick<ChartWanted, 'title' | 'x' | 'y' | 'list'> & Partial<ChartWanted>

/** A chart of a judged lead; null where the measurement has nothing for it. */
export function leadChart(
  chart: LeadChart,
  judgement: Judgement,
  lengthM: number,
  size: { width: number; height: number; textSize: number },
): Drawing | null {
  const content = CONTENT[chart](judgement, lengthM)
  return content && chartDrawing({ ...size, ...content })
}

const FREQUENCY = { label: 'frequency, MHz' }

/** What a rule that is shown says in words, inside or outside. */
function said(judgement: Judgement, part: string): string[] {
  return judgement.rules
    .filter((rule) => rule.name.startsWith(part))
    .map((rule) => {
      const at = rule.atMhz === null ? '' : ` at ${figureText(rule.atMhz, 1)} MHz`
      return `${rule.name}${at}: ${rule.says}.`
    })
}

const CONTENT: Record<LeadChart, (judgement: Judgement, lengthM: number) => Content | null> = {
  loss: (judgement) => {
    const { loss } = judgement.plot
    if (loss.length === 0) return null
    const x = loss.map((p) => p.fMhz)
    return {
      title: 'Insertion loss, measured against what is computed for this lead.',
      x: FREQUENCY,
      y: { label: 'insertion loss, dB', from: 0 },
      lines: [
        { name: 'measured', x, y: loss.map((p) => p.measuredDb) },
        { name: 'expected', x, y: loss.map((p) => p.nominalDb) },
      ],
      edges: [
        { name: 'specification limit', x, y: loss.map((p) => p.limitDb), not: 'above' },
        { name: 'acceptance limit', x, y: loss.map((p) => p.acceptanceDb), not: 'above', inner: true },
      ],
      list: said(judgement, 'insertion loss'),
    }
  },
  'return loss': (judgement) => {
    const { returnLossA: a, returnLossB: b } = judgement.plot
    if (a.length === 0) return null
    const x = a.map((p) => p.fMhz)
    return {
      title: 'Return loss of each end against its limit.',
      x: FREQUENCY,
      y: { label: 'return loss, dB', from: 0, to: 60 },
      lines: [
        { name: 'end A', x, y: a.map((p) => p.measuredDb) },
        ...(b.length > 0 ? [{ name: 'end B', x: b.map((p) => p.fMhz), y: b.map((p) => p.measuredDb) }] : []),
      ],
      edges: [
        { name: b.length > 0 ? 'limit A' : 'limit', x, y: a.map((p) => p.limitDb), not: 'below' },
        ...(b.length > 0
          ? [
              {
                ...{ name: 'limit B', x: b.map((p) => p.fMhz), y: b.map((p) => p.limitDb) },
                ...{ not: 'below' as const, inner: true },
              },
            ]
          : []),
      ],
      list: said(judgement, 'return loss'),
    }
  },
  places: (judgement, lengthM) => {
    const { time } = judgement.plot
    if (time.length === 0) return null
    return {
      title: 'Where the lead reflects, seen from end A.',
      x: { label: 'metres from the reference plane of end A', from: 0 },
      y: { label: 'reflected, dB below full', from: -70, to: 0 },
      lines: [{ name: 'seen', x: time.map((p) => p.atM), y: time.map((p) => -p.returnLossDb) }],
      events: [
        { x: 0, text: 'end A' },
        { x: lengthM, text: 'end B' },
        ...judgement.bumps
          .filter((bump) => bump.atM > 0.1 && bump.atM < lengthM - 0.1)
          .map((bump) => ({ x: bump.atM, text: `${figureText(bump.atM, 2)} m`, wrong: true })),
      ],
      list: judgement.bumps.map(
        (bump) =>
          `${figureText(bump.atM)} m ± ${figureText(bump.plusMinusM)} m: ${figureText(bump.returnLossDb, 1)} dB, ${bump.what}.`,
      ),
    }
  },
}
