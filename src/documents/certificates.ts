import {
  type Certificate,
  type CertificateHead,
  type CertifiedLead,
  leadCertificate,
} from '../dispatch/certificate.ts'
import { type LeadChart, leadChart } from '../drawing/chart-lead.ts'
import type { Drawing } from '../drawing/shape.ts'
import { paintSquare, QR_QUIET, qrCode } from './barcode.ts'
import { type Block, flow } from './flow.ts'
import { paintDrawing } from './paint-drawing.ts'
import { A4_PT, Pen, PT_PER_MM } from './pen.ts'
import { type Frame, factGrid, headedParagraph, LINE_PT, signatures, TEXT_PT } from './sheet-blocks.ts'
import { type Cell, type Column, table } from './sheet-table.ts'
import { refuseUnprintable } from './typeface.ts'

const MARGIN_PT = 12 * PT_PER_MM
export const sheetFrame: Frame = { left: MARGIN_PT, width: A4_PT[0] - 2 * MARGIN_PT }
/** A module of the code: whole dots of a 600 dpi office printer. */
const CODE_MODULE_PT = (14 / 600) * 72
/** The head with its rule, and a gap below. */
const HEAD_PT = 58
const CHART_PT = 138
const CHARTS: LeadChart[] = ['loss', 'return loss', 'places']

/** The certificate of one judged lead; a report where it does not pass. */
export async function leadCertificatePdf(lead: CertifiedLead): Promise<Uint8Array> {
  const certificate = leadCertificate(lead)
  const pen = new Pen(certificate.title, A4_PT)
  const pictures = CHARTS.flatMap((chart): Block[] => {
    const size = { width: sheetFrame.width, height: CHART_PT, textSize: TEXT_PT }
    const drawing = leadChart(chart, lead.judgement, lead.spec.lengthM, size)
    return drawing ? [pictureBlock(pen, drawing)] : []
  })
  paintSheets(pen, certificate, certificateBlocks(pen, certificate, pictures))
  return pen.bytes()
}

/** A picture under its title. */
export function pictureBlock(pen: Pen, drawing: Drawing): Block {
  return {
    height: LINE_PT + drawing.height + 10,
    paint: (y) => {
      pen.text(drawing.title, sheetFrame.left, y + 0.8 * LINE_PT, { size: TEXT_PT, weight: 600 })
      paintDrawing(pen, drawing, sheetFrame.left, y + LINE_PT + 4)
    },
  }
}

/** Paints blocks under the head of a certificate, on as many pages as they take. */
export function paintSheets(
  pen: Pen,
  head: Pick<CertificateHead, 'title' | 'works' | 'printed' | 'code'>,
  blocks: Block[],
): void {
  refuseUnprintable(head.title, 'the name on the certificate')
  const { left, width } = sheetFrame
  const code = qrCode(head.code)
  const codePt = code.modules * CODE_MODULE_PT
  const top = MARGIN_PT + Math.max(HEAD_PT, codePt + QR_QUIET * CODE_MODULE_PT)
  const pages = flow(blocks, top, A4_PT[1] - MARGIN_PT)
  const room = width - codePt - 14
  for (const [i, page] of pages.entries()) {
    pen.page()
    const y = MARGIN_PT
    pen.text(pen.fit(head.title, room, 16, 600), left, y + 14, { size: 16, weight: 600 })
    pen.text(pen.fit(head.works, room, TEXT_PT), left, y + 28, { size: TEXT_PT })
    pen.text(head.printed, left, y + 40, { size: TEXT_PT })
    pen.text(`page ${i + 1} of ${pages.length}`, left + room, y + 40, { size: TEXT_PT, anchor: 'end' })
    pen.line(left, y + 46, left + room, y + 46, 1.2)
    paintSquare(pen, code, left + width - codePt, MARGIN_PT, CODE_MODULE_PT)
    for (const { block, y: at } of page) block.paint(at)
  }
}

const gap = (height: number): Block => ({ height, paint: () => {} })

function certificateBlocks(pen: Pen, certificate: Certificate, pictures: Block[]): Block[] {
  const { facts, decision, rules, direct, notes } = certificate
  const ruled = table(pen, sheetFrame, RULE_COLUMNS, rules.map(ruleCells))
  const directTable = table(
    pen,
    sheetFrame,
    DIRECT_COLUMNS,
    direct.map(([what, limit, found]): Cell[] => [
      { texts: [what], bold: true },
      { texts: [limit] },
      { texts: [found] },
    ]),
  )
  return [
    verdictBlock(pen, certificate.verdict),
    ...factGrid(pen, sheetFrame, facts),
    ...ruled,
    headedParagraph(pen, sheetFrame, 'How it was decided', decision.join(' ')),
    gap(4),
    ...pictures,
    ...directTable,
    ...(direct.length > 0 ? [gap(6)] : []),
    ...(notes.length > 0 ? [headedParagraph(pen, sheetFrame, 'Notes', notes.join(' '))] : []),
    signatures(pen, sheetFrame, certificate.signatures),
  ]
}

export function verdictBlock(pen: Pen, verdict: string): Block {
  const lines = pen.wrap(verdict, sheetFrame.width - 16, 11, 600)
  const height = lines.length * 14 + 10
  return {
    height: height + 8,
    paint: (y) => {
      pen.box(sheetFrame.left, y, sheetFrame.width, height, null, 1.5)
      for (const [i, line] of lines.entries())
        pen.text(line, sheetFrame.left + 8, y + 16 + i * 14, { size: 11, weight: 600 })
    },
  }
}

const column = (name: string, width: number, anchor: Column['anchor'] = 'start'): Column => ({
  name,
  width,
  anchor,
})

const RULE_COLUMNS = [
  column('Rule', 96),
  column('Measured', 92),
  column('Specification limit', 66, 'end'),
  column('Acceptance limit', 62, 'end'),
  column('Risk of a false pass', 62, 'end'),
  column('Result', 52),
  column('In words', 110),
]
const DIRECT_COLUMNS = [column('Direct current', 80), column('Limit', 270), column('Found', 180)]

function ruleCells(rule: Certificate['rules'][number]): Cell[] {
  const { name, measured, limit, acceptance, risk, result, says } = rule
  return [
    { texts: [name], bold: true },
    { texts: [measured] },
    { texts: [limit] },
    { texts: [acceptance] },
    { texts: [risk] },
    { texts: [result], bold: true },
    { texts: [says] },
  ]
}
