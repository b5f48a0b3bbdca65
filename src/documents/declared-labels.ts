import { LABEL_MM, type PieceLabel } from '../dispatch/piece-label.ts'
import { paintLabel } from './labels.ts'
import { Pen, PT_PER_MM } from './pen.ts'

/** Stock of a label printer, mm, and how fine it prints. */
export interface LabelMedia {
  width: number
  height: number
  dpi: number
}

/** What a label is drawn for where no printer is recorded. */
export const PLAIN_MEDIA: LabelMedia = { ...LABEL_MM, dpi: 203 }

/** Labels of pieces that were measured, one page each. The serial is the barcode; bars are whole dots of the printer wide. */
export async function declaredLabelsPdf(labels: PieceLabel[], media: LabelMedia): Promise<Uint8Array> {
  const pen = new Pen(`Label ${labels[0]?.id ?? ''}`, [media.width * PT_PER_MM, media.height * PT_PER_MM])
  for (const label of labels) paintLabel(pen, label, media.dpi)
  return pen.bytes()
}
