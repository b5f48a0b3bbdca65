import type { PaperMeta } from '../dispatch/paper-meta.ts'
import { LABEL_MM, type PieceLabel, planLabels } from '../dispatch/piece-label.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { CODE128_QUIET, code128, moduleThatFits, paintLinear } from './barcode.ts'
import { breathe } from './breathe.ts'
import { Pen, PT_PER_MM } from './pen.ts'
import { refuseUnprintable, type Weight } from './typeface.ts'

const MARGIN_MM = 4
const CODE_HEIGHT_MM = 9
/** Nothing on a label is set smaller. */
const LEAST_PT = 8

const left = MARGIN_MM * PT_PER_MM
const right = (LABEL_MM.width - MARGIN_MM) * PT_PER_MM
const room = right - left

/** The labels of a plan, one page each, in the order of cutting. */
export async function labelsPdf(input: PlanInput, plan: Plan, meta: PaperMeta): Promise<Uint8Array> {
  const pen = new Pen(`Labels, plan ${meta.planNumber}`, [
    LABEL_MM.width * PT_PER_MM,
    LABEL_MM.height * PT_PER_MM,
  ])
  const labels = planLabels(input, plan, meta)
  if (labels.length === 0) {
    pen.page()
    pen.text(`Plan ${meta.planNumber} cuts no piece: no labels.`, left, 30, { size: 10 })
  }
  for (const [i, label] of labels.entries()) {
    if (i % 50 === 0) await breathe()
    paintLabel(pen, label)
  }
  return pen.bytes()
}

/** One label on a page of its own; `dpi`: of the printer where it is known, so that bars are whole dots wide. */
export function paintLabel(pen: Pen, label: PieceLabel, dpi?: number): void {
  pen.page()
  const top = MARGIN_MM * PT_PER_MM
  if (label.banner !== '') paintBanner(pen, label, top)
  else mayBeCut(pen, label.works, left, top + 11, room)
  mustFit(pen, label, 'title', left, top + 28, room, 12, 600)
  mustFit(pen, label, 'length', left, top + 49, room, 20, 600)
  mustFitTwoLines(pen, label, 'made', left, top + 63, room)

  paintNames(pen, label, top)
  paintCode(pen, label, top + 100, dpi)
  const foot = label.banner === '' ? label.plan : `${label.plan} · ${label.works}`
  mayBeCut(pen, foot, left, LABEL_MM.height * PT_PER_MM - 8, room)
}

function paintBanner(pen: Pen, label: PieceLabel, top: number): void {
  pen.box(left, top, room, 15, 'black')
  pen.text(label.banner, left + room / 2, top + 11, {
    size: 10,
    weight: 600,
    anchor: 'middle',
    colour: 'white',
  })
}

/** Lot and order side by side; below each other, set small, where one of them is too long for that. */
function paintNames(pen: Pen, label: PieceLabel, top: number): void {
  const half = room / 2 - 4
  const rightColumn = left + room / 2 + 4
  const beside = [label.lot, label.order].every((text) => pen.widthOf(text, LEAST_PT, 600) + 32 <= half)
  if (beside) {
    named(pen, label, 'lot', 'Lot', left, top + 84, half, 10)
    named(pen, label, 'order', 'Order', rightColumn, top + 84, half, 10)
  } else {
    named(pen, label, 'lot', 'Lot', left, top + 80, room, LEAST_PT)
    named(pen, label, 'order', 'Order', left, top + 88, room, LEAST_PT)
  }
  named(pen, label, 'piece', 'Piece', left, top + 96, half, beside ? 10 : LEAST_PT)
  // beside order and piece there is room for a second line where the order stands to the left
  const [first = '', ...more] = pen.wrap(label.customer, half, 8.5)
  const two = !beside && more.length > 0 && pen.widthOf(label.order, LEAST_PT, 600) + 32 <= half
  if (two) mayBeCut(pen, first, rightColumn, top + 88, half)
  mayBeCut(pen, two ? more.join(' ') : label.customer, rightColumn, top + 96, half)
}

/** On one line where it fits, else on two set as small as is allowed, else refused. */
function mustFitTwoLines(
  pen: Pen,
  label: PieceLabel,
  field: keyof PieceLabel,
  x: number,
  y: number,
  width: number,
): void {
  const text = label[field]
  refuseUnprintable(text, `label ${label.id}, ${field}`)
  if (pen.widthOf(text, 10) <= width) {
    pen.text(text, x, y, { size: 10 })
    return
  }
  const lines = pen.wrap(text, width, LEAST_PT)
  if (lines.length > 2) throw tooLong(label, field, text)
  for (const [i, line] of lines.entries()) pen.text(line, x, y + i * 9, { size: LEAST_PT })
}

function paintCode(pen: Pen, label: PieceLabel, y: number, dpi: number | undefined): void {
  const height = CODE_HEIGHT_MM * PT_PER_MM
  // the text below keeps clear of the quiet zones by standing under the bars
  if (!paintAcross(pen, label.id, y, height, dpi)) throw tooLong(label, 'id', label.id)
  pen.text(label.id, (LABEL_MM.width * PT_PER_MM) / 2, y + height + 10, {
    size: 10,
    weight: 600,
    anchor: 'middle',
  })
}

/** A text as a barcode in the middle of a label, bars of whole dots as wide as there is room for; false where there is not enough. */
export function paintAcross(pen: Pen, text: string, y: number, height: number, dpi?: number): boolean {
  const symbol = code128(text)
  const moduleMm = moduleThatFits(symbol, LABEL_MM.width - 2, dpi)
  if (moduleMm === null) return false
  const module = moduleMm * PT_PER_MM
  const x = (LABEL_MM.width * PT_PER_MM - symbol.modules * module) / 2
  paintLinear(pen, symbol, Math.max(x, CODE128_QUIET * module), y, module, height)
  return true
}

/** A field that must be whole and legible: set smaller down to the least size, then refused. */
function mustFit(
  pen: Pen,
  label: PieceLabel,
  field: keyof PieceLabel,
  x: number,
  y: number,
  width: number,
  size: number,
  weight: Weight,
  anchor: 'start' | 'end' = 'start',
): void {
  const text = label[field]
  refuseUnprintable(text, `label ${label.id}, ${field}`)
  const natural = pen.widthOf(text, size, weight)
  const fitted = natural > width ? Math.max(LEAST_PT, (size * width) / natural) : size
  if (pen.widthOf(text, fitted, weight) > width * 1.001) throw tooLong(label, field, text)
  pen.text(text, x, y, { size: fitted, weight, anchor })
}

function named(
  pen: Pen,
  label: PieceLabel,
  field: 'lot' | 'order' | 'piece',
  name: string,
  x: number,
  y: number,
  width: number,
  size: number,
): void {
  const nameWidth = pen.widthOf(`${name} `, size)
  pen.text(name, x, y, { size })
  mustFit(pen, label, field, x + nameWidth, y, width - nameWidth, size, 600)
}

/** A field that helps but declares nothing: shortened visibly where it is too long. */
function mayBeCut(pen: Pen, text: string, x: number, y: number, width: number): void {
  pen.text(pen.fit(text, width, 8.5), x, y, { size: 8.5 })
}

function tooLong(label: PieceLabel, field: string, text: string): LastmetreError {
  const shown = text.length > 60 ? `${text.slice(0, 60)}…` : text
  return new LastmetreError(
    'text-not-printable',
    `label ${label.id}, ${field}: "${shown}" does not fit on the label.`,
  )
}
