import { type CertifiedSet, type SetCertificate, setCertificate } from '../dispatch/set-certificate.ts'
import { chartDrawing } from '../drawing/chart-drawing.ts'
import { figureText } from '../quantity/length-text.ts'
import { paintSheets, pictureBlock, sheetFrame, verdictBlock } from './certificates.ts'
import type { Block } from './flow.ts'
import { A4_PT, Pen } from './pen.ts'
import { factGrid, headedParagraph, signatures, TEXT_PT } from './sheet-blocks.ts'
import { type Cell, type Column, table } from './sheet-table.ts'

const CHART_PT = 170

/** The certificate of a matched set. */
export async function setCertificatePdf(set: CertifiedSet): Promise<Uint8Array> {
  const certificate = setCertificate(set)
  const pen = new Pen(certificate.title, A4_PT)
  paintSheets(pen, certificate, [
    verdictBlock(pen, certificate.verdict),
    ...factGrid(pen, sheetFrame, certificate.facts),
    ...leadTable(pen, certificate),
    headedParagraph(pen, sheetFrame, 'How it was decided', certificate.decision.join(' ')),
    pictureBlock(pen, apartDrawing(certificate, set.window)),
    signatures(pen, sheetFrame, certificate.signatures),
  ])
  return pen.bytes()
}

/** Each lead beyond the shortest, against the window. */
function apartDrawing({ leads, unit }: SetCertificate, window: number) {
  return chartDrawing({
    title: `How far each lead lies beyond the shortest, ${unit}.`,
    ...{ width: sheetFrame.width, height: CHART_PT, textSize: TEXT_PT },
    x: { label: 'lead, in the order of the table', from: 0, to: leads.length + 1, leastStep: 1 },
    y: { label: unit, from: 0, to: 1.3 * Math.max(window, leads.at(-1)?.fromFirst ?? 0) },
    lines: [
      { name: 'leads', x: leads.map((_, i) => i + 1), y: leads.map((lead) => lead.fromFirst), dots: 'only' },
    ],
    limits: [{ name: `window ${figureText(window, 2)}`, value: window, not: 'above' }],
    list: [],
  })
}

const column = (name: string, width: number, anchor: Column['anchor'] = 'end'): Column => ({
  name,
  width,
  anchor,
})

function leadTable(pen: Pen, { leads, unit }: SetCertificate): Block[] {
  const columns = [
    column('Lead', 78, 'start'),
    column('Length, m', 52),
    column(unit === 'ps' ? 'Delay, ps' : 'Phase, degree', 60),
    column('Beyond the shortest', 60),
    column('Insertion loss', 58),
    column('Worst return loss', 58),
    column('Continuity', 56, 'start'),
    column('High voltage', 78),
    column('at °C', 40),
  ]
  const rows = leads.map(({ test, value, fromFirst }): Cell[] => [
    { texts: [test.serial], bold: true },
    { texts: [test.lengthM.toFixed(4)] },
    { texts: [value.toFixed(unit === 'ps' ? 1 : 2)] },
    { texts: [fromFirst.toFixed(unit === 'ps' ? 1 : 2)] },
    { texts: [`${test.ilDb.toFixed(3)} dB`] },
    { texts: [`${test.rlMinDb.toFixed(1)} dB`] },
    { texts: [test.continuity] },
    { texts: [`${figureText(test.hipotKvDc, 2)} kV, ${figureText(test.leakUa, 2)} µA`] },
    { texts: [figureText(test.tempC, 1)] },
  ])
  return table(pen, sheetFrame, columns, rows)
}
