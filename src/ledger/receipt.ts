import type { CableType } from '../cable/cable-type.ts'
import { bookWitness, marksWitness, weighedWitness } from '../measure/drum-witness.ts'
import type { Witness } from '../measure/witness.ts'
import { type LengthUm, UM_PER_FT, UM_PER_M } from '../quantity/length.ts'
import type { Drum } from '../strip/drum.ts'
import type { Fault } from '../strip/fault.ts'
import type { MarkSegment } from '../strip/mark-segment.ts'
import { placeOfMark } from '../strip/usable.ts'
import type { CommandOf } from './command.ts'
import { counterUncUm, MARK_UNC_UM } from './fault-unc.ts'
import type { DrumStatus, EndCaps } from './state-rows.ts'

/** A fault of the jacketing's report, by marks of the jacket. */
export interface ReceiptFault {
  code: Fault['code']
  severity: Fault['severity']
  what: string | null
  markFrom: number
  markTo: number
  source: Fault['positionSource']
}

/** Which witness the drum is booked by. */
export type ReceiptHow = 'book' | 'marks' | 'weight'

/** What is known of a drum at the gate. */
export interface Receipt {
  drum: string
  cable: string
  lot: string
  drumKind: 'process_drum' | 'remnant'
  putup: string
  /** Length on the delivery note or in the books; null where there is none. */
  noteUm: LengthUm | null
  grossKg: number | null
  tareKg: number | null
  /** Both end marks as read, outer one first; a pair for each stretch between restarts of the print. Empty: none read. */
  marks: { outer: number; inner: number }[]
  printUnit: 'm' | 'ft' | 'none'
  faults: ReceiptFault[]
  endCaps: EndCaps
  place: string | null
  status: DrumStatus
  reason: string | null
  receivedDate: string
}

/** Marks that say so much less than the note count instead of it (works folder contract, as strip/usable.ts). */
const SHORTER_RATIO = 0.01

/** What speaks for the drum's length, each with its uncertainty: note, marks, weight; those that are there. */
export function receiptWitnesses(receipt: Receipt, cable: CableType): Partial<Record<ReceiptHow, Witness>> {
  const drum = drumOf(receipt)
  const marks = receipt.printUnit === 'none' ? null : marksWitness(markSegments(receipt, null))
  const weight = receipt.grossKg === null || receipt.tareKg === null ? null : weighedWitness(drum, cable)
  return {
    ...(receipt.noteUm === null ? {} : { book: bookWitness(drum) }),
    ...(marks ? { marks } : {}),
    ...(weight ? { weight } : {}),
  }
}

/**
 * The witness to book by where nobody says otherwise: the note, but the marks where they say more than 1 % less; without a note
 * the marks, without both the weight. Null where there is none.
 */
export function usualWitness({
  book,
  marks,
  weight,
}: Partial<Record<ReceiptHow, Witness>>): ReceiptHow | null {
  if (book && marks) return book.lengthUm > marks.lengthUm * (1 + SHORTER_RATIO) ? 'marks' : 'book'
  if (book) return 'book'
  if (marks) return 'marks'
  return weight ? 'weight' : null
}

/** The record that books the drum, or why it cannot be made, one sentence each. */
export function receiptCommand(
  receipt: Receipt,
  how: ReceiptHow,
  witness: Witness,
): { command: CommandOf<'receive-drum'> } | { wrong: string[] } {
  const { lengthUm } = witness
  const segments = markSegments(receipt, lengthUm)
  const wrong: string[] = []
  const faults = receipt.faults.flatMap((fault) => {
    const at = placedFault(fault, segments, lengthUm)
    if ('wrong' in at) {
      wrong.push(at.wrong)
      return []
    }
    const { code, severity, what, source } = fault
    return [
      {
        ...{ fault: null, code, severity, what, source, foundAt: 'jacketing', ...at },
        foundDate: receipt.receivedDate,
      },
    ]
  })
  if (wrong.length > 0) return { wrong }
  const { drum, cable, lot, drumKind, putup, grossKg, tareKg, endCaps, place, status, reason } = receipt
  return {
    command: {
      kind: 'receive-drum',
      origin: 'goods in',
      ...{ drum, cable, lot, drumKind, putup, grossKg, tareKg, endCaps, place, status, reason, faults },
      ...{ lengthUm, lengthUncUm: witness.standardUm, lengthHow: how, rewinds: 0 },
      marks: segments.map(({ fromUm, toUm, markFrom, markTo, printUnit }) => ({
        ...{ fromUm, toUm, markFrom, markTo, printUnit },
      })),
    },
  }
}

/** The print as stretches of the strip: each as long as its marks say, all together as long as the drum where that is given. */
export function markSegments({ drum, marks, printUnit }: Receipt, lengthUm: LengthUm | null): MarkSegment[] {
  if (printUnit === 'none' || marks.length === 0) {
    const toUm = lengthUm ?? 0
    return [{ drum, segment: 1, fromUm: 0, toUm, markFrom: null, markTo: null, printUnit: 'none' }]
  }
  const perMark = printUnit === 'ft' ? UM_PER_FT : UM_PER_M
  const spans = marks.map(({ outer, inner }) => Math.abs(inner - outer) * perMark)
  const total = spans.reduce((a, b) => a + b, 0)
  const scale = lengthUm === null || total === 0 ? 1 : lengthUm / total
  let atUm = 0
  let sum = 0
  return marks.map(({ outer, inner }, i) => {
    sum += spans[i]!
    const fromUm = atUm
    atUm = Math.round(sum * scale)
    return { drum, segment: i + 1, fromUm, toUm: atUm, markFrom: outer, markTo: inner, printUnit }
  })
}

/** Where the marks of a fault lie on the strip, with the uncertainty of that; or why not. */
function placedFault(
  { markFrom, markTo, source, code }: ReceiptFault,
  segments: MarkSegment[],
  lengthUm: LengthUm,
): { fromUm: LengthUm; toUm: LengthUm; uncUm: number } | { wrong: string } {
  const within = (s: MarkSegment, mark: number) =>
    mark >= Math.min(s.markFrom!, s.markTo!) && mark <= Math.max(s.markFrom!, s.markTo!)
  const all = segments.filter((s) => s.markFrom !== null && within(s, markFrom) && within(s, markTo))
  const where = `${code} at mark ${markFrom === markTo ? markFrom : `${markFrom} to ${markTo}`}`
  const [segment, second] = all
  if (!segment) return { wrong: `${where} lies on no stretch between the marks that were read at the ends.` }
  if (second)
    return {
      wrong: `${where} stands on the jacket more than once; book it at the drum, when its stretch is seen.`,
    }
  const [a, b] = [placeOfMark(segment, markFrom, 1), placeOfMark(segment, markTo, 1)]
  const fromUm = Math.round(Math.min(a, b))
  const toUm = Math.round(Math.max(a, b))
  const fromEndUm = Math.min(toUm, lengthUm - fromUm)
  const uncUm = source === 'mark_read' ? MARK_UNC_UM : counterUncUm(fromEndUm)
  return { fromUm, toUm, uncUm }
}

function drumOf(receipt: Receipt): Drum {
  const { drum, cable, lot, putup, receivedDate, place, status, endCaps } = receipt
  return {
    ...{ drum, cable, lot, putup, receivedDate, status, endCaps, location: place, kind: receipt.drumKind },
    ...{ bookUm: receipt.noteUm ?? 0, rewinds: 0, note: null },
    ...{ grossKg: receipt.grossKg ?? 0, tareKg: receipt.tareKg ?? 0 },
  }
}
