import { LABEL_MM } from '../dispatch/piece-label.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { paintAcross } from './labels.ts'
import { Pen, PT_PER_MM } from './pen.ts'
import { refuseUnprintable } from './typeface.ts'

/** What stands on the label of a drum in the store. */
export interface DrumLabel {
  /** Also its barcode. */
  drum: string
  cable: string
  lot: string
  /** "1040.0 m, by book". */
  length: string
  /** "outer 3304.9, inner 2500 m", or that nothing is printed. */
  marks: string
  /** "2 faults known". */
  faults: string
  place: string
  /** Why it is held; null where it is free. */
  held: string | null
  works: string
  printed: string
}

const MARGIN = 4 * PT_PER_MM
const WIDTH = LABEL_MM.width * PT_PER_MM
const HEIGHT = LABEL_MM.height * PT_PER_MM
const ROOM = WIDTH - 2 * MARGIN
const LEAST_PT = 8
const CODE_HEIGHT = 10 * PT_PER_MM
/** Room of the reason in its band. */
const HELD_ROOM = ROOM - 8

/** Where things stand below the top of the label, by how many lines the reason takes: band, number and its size, rows and their pitch, code. */
const LAYOUTS = [
  { band: 0, numberY: 26, numberPt: 28, rowsY: 42, pitch: 12.2, codeY: 105 },
  { band: 15, numberY: 36, numberPt: 22, rowsY: 50, pitch: 12.2, codeY: 105 },
  { band: 23, numberY: 43, numberPt: 22, rowsY: 57, pitch: 11.6, codeY: 107 },
] as const

/** The label of a drum, one page; a held drum says so in a black band. Throws 'text-not-printable' where the number does not fit as a barcode. */
export async function drumLabelPdf(label: DrumLabel): Promise<Uint8Array> {
  const pen = new Pen(`Drum ${label.drum}`, [WIDTH, HEIGHT])
  for (const [field, text] of Object.entries(label))
    if (text !== null) refuseUnprintable(text, `drum label, ${field}`)
  pen.page()
  const top = MARGIN
  const held = label.held === null ? { lines: [], size: 0 } : heldLines(pen, label.held)
  const { band, numberY, numberPt, rowsY, pitch, codeY } = LAYOUTS[held.lines.length] ?? LAYOUTS[0]
  // the band has the whole width, so that the reason and a long number both stay legible
  if (band > 0) pen.box(MARGIN, top, ROOM, band, 'black')
  for (const [i, line] of held.lines.entries())
    pen.text(line, WIDTH / 2, top + held.size + 1 + i * (held.size + 1.5), {
      ...{ size: held.size, weight: 600, anchor: 'middle', colour: 'white' },
    })
  fitted(pen, label.drum, top + numberY, numberPt, 600)
  const rows = [label.cable, `Lot ${label.lot}`, label.length, label.marks, label.faults]
  for (const [i, row] of rows.entries())
    fitted(pen, row, top + rowsY + i * pitch, i === 2 ? 12 : 10, i < 3 ? 600 : 400)
  if (!paintAcross(pen, label.drum, top + codeY, CODE_HEIGHT))
    throw new LastmetreError('text-not-printable', `${label.drum} is too long for a barcode on this label.`)
  pen.text(
    pen.fit(`${label.place} · ${label.works} · ${label.printed}`, ROOM, LEAST_PT),
    MARGIN,
    HEIGHT - 8,
    {
      size: LEAST_PT,
    },
  )
  return pen.bytes()
}

/** One line, or two smaller ones; what is longer is shortened in sight. */
function heldLines(pen: Pen, reason: string): { lines: string[]; size: number } {
  const text = `HOLD: ${reason}`
  if (pen.widthOf(text, 10, 600) <= HELD_ROOM) return { lines: [text], size: 10 }
  const [first = '', ...more] = pen.wrap(text, HELD_ROOM, LEAST_PT, 600)
  return { lines: [first, pen.fit(more.join(' '), HELD_ROOM, LEAST_PT, 600)], size: LEAST_PT }
}

/** Set smaller where it is too long, then shortened in sight. */
function fitted(pen: Pen, text: string, y: number, size: number, weight: 400 | 600): void {
  const natural = pen.widthOf(text, size, weight)
  const set = natural > ROOM ? Math.max(LEAST_PT, (size * ROOM) / natural) : size
  pen.text(pen.widthOf(text, set, weight) > ROOM * 1.001 ? pen.fit(text, ROOM, set) : text, MARGIN, y, {
    ...{ size: set, weight },
  })
}
