import { DEFER } from '../dispatch/dangers.ts'
import type { PaperMeta } from '../dispatch/paper-meta.ts'
import type { RunRow } from '../dispatch/run-row.ts'
import { type RunSheet, runSheets } from '../dispatch/run-sheet.ts'
import { stripDrawing } from '../drawing/strip-drawing.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { paintSquare, QR_QUIET, qrCode } from './barcode.ts'
import { breathe } from './breathe.ts'
import { type Block, flow } from './flow.ts'
import { paintDrawing } from './paint-drawing.ts'
import { A4_PT, Pen, PT_PER_MM } from './pen.ts'
import { type Frame, factGrid, headedParagraph, sentences, signatures, TEXT_PT } from './sheet-blocks.ts'
import { type Cell, type Column, table } from './sheet-table.ts'

const MARGIN_PT = 12 * PT_PER_MM
const frame: Frame = { left: MARGIN_PT, width: A4_PT[0] - 2 * MARGIN_PT }
/** A module of the code: whole dots of a 600 dpi office printer. */
const CODE_MODULE_PT = (14 / 600) * 72

/** The run sheets of a plan: one per mounting, in the plan's order, each from a new page; `only` is the number of the one that is wanted. */
export async function runSheetsPdf(
  input: PlanInput,
  plan: Plan,
  meta: PaperMeta,
  only: number | null = null,
): Promise<Uint8Array> {
  const pen = new Pen(`Run sheets, plan ${meta.planNumber}`, A4_PT)
  const units = new Map(input.orders.map((o) => [`${o.order} ${o.line}`, o.unit]))
  const unitOf = (order: string, orderLine: number) => units.get(`${order} ${orderLine}`) ?? 'm'
  const sheets = runSheets(input, plan, meta, only === null ? null : only - 1)
  if (sheets.length === 0) {
    pen.page()
    pen.text(`Plan ${meta.planNumber} mounts no drum: no run sheets.`, frame.left, 60, { size: 12 })
  }
  for (const sheet of sheets) {
    await breathe()
    paintSheet(pen, sheet, unitOf)
  }
  return pen.bytes()
}

function paintSheet(
  pen: Pen,
  sheet: RunSheet,
  unitOf: (order: string, orderLine: number) => 'm' | 'ft',
): void {
  const code = qrCode(sheet.code)
  const top = MARGIN_PT + code.modules * CODE_MODULE_PT + QR_QUIET * CODE_MODULE_PT
  const bottom = A4_PT[1] - MARGIN_PT
  const pages = flow(sheetBlocks(pen, sheet, unitOf), top, bottom)
  for (const [i, page] of pages.entries()) {
    pen.page()
    paintHead(pen, sheet, i + 1, pages.length)
    const right = frame.left + frame.width
    paintSquare(pen, code, right - code.modules * CODE_MODULE_PT, MARGIN_PT, CODE_MODULE_PT)
    for (const { block, y } of page) block.paint(y)
  }
}

function paintHead(pen: Pen, sheet: RunSheet, page: number, pages: number): void {
  const { left } = frame
  const room = frame.width - 70
  const y = MARGIN_PT
  pen.text(pen.fit(sheet.title, room, 16, 600), left, y + 14, { size: 16, weight: 600 })
  pen.text(pen.fit(sheet.works, room, TEXT_PT), left, y + 28, { size: TEXT_PT })
  pen.text(pen.fit(sheet.plan, room - 80, TEXT_PT), left, y + 40, { size: TEXT_PT })
  pen.text(`page ${page} of ${pages}`, left + room, y + 40, { size: TEXT_PT, anchor: 'end' })
  pen.line(left, y + 46, left + room, y + 46, 1.2)
}

function sheetBlocks(
  pen: Pen,
  sheet: RunSheet,
  unitOf: (order: string, orderLine: number) => 'm' | 'ft',
): Block[] {
  const { usable, mounting } = sheet
  const drawing = stripDrawing({ usable, mounting, width: frame.width, textSize: TEXT_PT, unitOf })
  const minded = [...(sheet.correction ? [sheet.correction] : []), ...sheet.warnings]
  return [
    sentences(pen, frame, 'Dangers of this step', sheet.dangers, DEFER, true),
    ...factGrid(pen, frame, sheet.facts),
    { height: drawing.height + 6, paint: (y) => paintDrawing(pen, drawing, frame.left, y) },
    ...(minded.length > 0 ? [sentences(pen, frame, 'Mind', minded, null, false)] : []),
    ...table(
      pen,
      frame,
      columnsOf(sheet),
      sheet.rows.map((row, i) => cellsOf(row, sheet.rows[i - 1], sheet.bench)),
    ),
    headedParagraph(pen, frame, 'What is left', sheet.rest),
    signatures(pen, frame, sheet.signatures),
    ...settingsTable(pen, sheet),
  ]
}

/** How the line is set, and why: for whoever asks, so it stands behind the work list. */
function settingsTable(pen: Pen, sheet: RunSheet): Block[] {
  if (sheet.settings.length === 0) return []
  const columns: Column[] = [
    { name: 'Setting', width: 60, anchor: 'start' },
    { name: 'How the line is set', width: 220, anchor: 'start' },
    { name: 'Because', width: 250, anchor: 'start' },
  ]
  const rows = sheet.settings.map(({ name, text, why }): Cell[] => [
    { texts: [name], bold: true },
    { texts: [text] },
    { texts: [why] },
  ])
  return [{ height: 8, paint: () => {} }, ...table(pen, frame, columns, rows)]
}

function columnsOf(sheet: RunSheet): Column[] {
  const column = (name: string, width: number, anchor: Column['anchor'] = 'start'): Column => ({
    name,
    width,
    anchor,
  })
  return [
    column('Cut', 32),
    column('What', 92),
    column('Order, customer', 102),
    column('Due', 56),
    column(sheet.bench ? 'Then' : 'Put-up', 55),
    column('Declared', 52, 'end'),
    column(sheet.bench ? 'Measure off, m' : 'Length, m', 46, 'end'),
    ...(sheet.bench ? [] : [column('Slow at, stop at', 46, 'end'), column('Counter preset, m', 48, 'end')]),
    column('Mark at cut', 52, 'end'),
  ]
}

function cellsOf(row: RunRow, above: RunRow | undefined, bench: boolean): Cell[] {
  // a row for the order above need not name the customer again
  const customer = row.order === above?.order ? '' : row.customer
  return [
    { texts: [row.cut], bold: true, tick: row.cut !== 'rest' },
    { texts: [row.what, row.ids, ...(row.held ? ['HOLD: spark test'] : [])] },
    { texts: [row.order, customer], bold: true, most: 3 },
    { texts: row.due ? [row.dueToday ? 'TODAY' : 'later', row.due] : [], bold: row.dueToday },
    { texts: [row.putup] },
    { texts: row.declared.split(/(?<=×) /) },
    { texts: [row.run], bold: bench },
    ...(bench ? [] : [{ texts: [row.slow, row.stop] }, { texts: [row.preset], bold: true }]),
    { texts: [row.mark] },
  ]
}
