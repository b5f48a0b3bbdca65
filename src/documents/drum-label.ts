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

/** The label of a drum, one page; a held drum says so in a black band. Throws 'text-not-printable' where the number does not fit as a barcode. */
export async function drumLabelPdf(label: DrumLabel): Promise<Uint8Array> {
  const pen = new Pen(`Drum ${label.drum}`, [WIDTH, HEIGHT])
  for (const [field, text] of Object.entries(label))
    if (text !== null) refuseUnprintable(text, `drum label, ${field}`)
  pen.page()
  const top = MARGIN
  // the band has the whole width, so that the reason and a long number both stay legible
  if (label.held !== null) {
    pen.box(MARGIN, top, ROOM, 15, 'black')
    pen.text(pen.fit(`HOLD: ${label.held}`, ROOM - 8, 10), WIDTH / 2, top + 11, {
      ...{ size: 10, weight: 600, anchor: 'middle', colour: 'white' },
    })
  }
  if (label.held === null) fitted(pen, label.drum, top + 26, 28, 600)
  else fitted(pen, label.drum, top + 36, 22, 600)
  const rows = [label.cable, `Lot ${label.lot}`, label.length, label.marks, label.faults]
  const firstY = top + (label.held === null ? 42 : 50)
  for (const [i, row] of rows.entries())
    fitted(pen, row, firstY + i * 12.2, i === 2 ? 12 : 10, i < 3 ? 600 : 400)
  if (!paintAcross(pen, label.drum, top + 105, CODE_HEIGHT))
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

/** Set smaller where it is too long, then shortened in sight. */
function fitted(pen: Pen, text: string, y: number, size: number, weight: 400 | 600): void {
  const natural = pen.widthOf(text, size, weight)
  const set = natural > ROOM ? Math.max(LEAST_PT, (size * ROOM) / natural) : size
  pen.text(pen.widthOf(text, set, weight) > ROOM * 1.001 ? pen.fit(text, ROOM, set) : text, MARGIN, y, {
    ...{ size: set, weight },
  })
}
