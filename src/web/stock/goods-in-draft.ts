import type { Receipt, ReceiptHow } from '../../ledger/receipt.ts'
import type { DrumStatus, EndCaps } from '../../ledger/state-rows.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import { umFromM } from '../../quantity/length.ts'
import { isId } from '../../works/column.ts'
import { readFaults, readMarks, typedFigure } from '../../works/receipt-text.ts'

/** What is typed at goods in, as it was typed. */
export interface GoodsInDraft {
  drum: string
  drumKind: 'process_drum' | 'remnant'
  cable: string
  lot: string
  putup: string
  noteM: string
  gross: string
  tare: string
  printUnit: 'm' | 'ft' | 'none'
  marks: string
  faults: string
  /** '': as the works usually does. */
  how: ReceiptHow | ''
  place: string
  endCaps: EndCaps
  status: DrumStatus
  reason: string
}

export const GOODS_IN_STEPS = [
  { id: 'drum', question: 'Which drum is it?' },
  { id: 'cable', question: 'What is on it?' },
  { id: 'weight', question: 'What does it weigh, and what does the note say?' },
  { id: 'marks', question: 'Which marks stand at its ends?' },
  { id: 'faults', question: 'Which faults did jacketing find?' },
  { id: 'length', question: 'How long is it?' },
  { id: 'place', question: 'Where does it stand, and may it be used?' },
] as const

export type GoodsInStep = (typeof GOODS_IN_STEPS)[number]['id']

export function emptyGoodsIn(input: PlanInput): GoodsInDraft {
  const cable = input.cables[0]?.cable ?? ''
  const putup = input.putups.find((p) => p.kind === 'process_drum')?.putup ?? input.putups[0]?.putup ?? ''
  return {
    ...{
      drum: '',
      drumKind: 'process_drum',
      cable,
      lot: '',
      putup,
      noteM: '',
      gross: '',
      marks: '',
      faults: '',
    },
    tare: tareOf(input, putup),
    ...{ printUnit: 'm', how: '', place: '', endCaps: 'both', status: 'free', reason: '' },
  }
}

export function tareOf(input: PlanInput, putup: string): string {
  return String(input.putups.find((p) => p.putup === putup)?.tareKg ?? '')
}

/** What is wrong with a step, one sentence each; empty where one may go on. */
export function wrongWith(
  step: GoodsInStep,
  draft: GoodsInDraft,
  known: { drums: ReadonlySet<string> },
): string[] {
  const wrong: string[] = []
  const need = (ok: boolean, words: string) => {
    if (!ok) wrong.push(words)
  }
  const figure = (text: string) => text.trim() === '' || typedFigure(text) !== null
  switch (step) {
    case 'drum':
      need(isId(draft.drum), 'A drum number is letters, digits, dots, hyphens or underscores, up to 32.')
      need(!known.drums.has(draft.drum), `${draft.drum} is in the store already.`)
      break
    case 'cable':
      need(isId(draft.lot), 'A lot is letters, digits, dots, hyphens or underscores, up to 32.')
      break
    case 'weight':
      need(figure(draft.noteM) && figure(draft.gross) && figure(draft.tare), 'Write figures, such as 804.5.')
      need(
        (typedFigure(draft.gross) ?? 0) >= (typedFigure(draft.tare) ?? 0) || draft.gross.trim() === '',
        'With its cable it weighs less than without.',
      )
      break
    case 'marks': {
      if (draft.printUnit === 'none' || draft.marks.trim() === '') break
      const read = readMarks(draft.marks)
      if ('wrong' in read) wrong.push(read.wrong)
      break
    }
    case 'faults':
      wrong.push(...readFaults(draft.faults).wrong)
      need(
        draft.faults.trim() === '' || (draft.printUnit !== 'none' && draft.marks.trim() !== ''),
        'Faults are placed by marks; go back and read both end marks first.',
      )
      break
    case 'place':
      need(draft.status === 'free' || draft.reason.trim() !== '', 'Say why it is held.')
      break
  }
  return wrong
}

/** The draft as the ledger room takes it; every step must be in order. */
export function receiptOf(draft: GoodsInDraft, receivedDate: string): Receipt {
  const { drum, drumKind, cable, lot, putup, printUnit, endCaps, status } = draft
  const noteM = typedFigure(draft.noteM)
  const read = printUnit === 'none' || draft.marks.trim() === '' ? null : readMarks(draft.marks)
  const marks = read && 'marks' in read ? read.marks : []
  const weighed = draft.gross.trim() !== ''
  return {
    ...{ drum, drumKind, cable, lot, putup, endCaps, status, receivedDate, marks },
    printUnit: marks.length === 0 ? 'none' : printUnit,
    noteUm: noteM === null ? null : umFromM(noteM),
    grossKg: weighed ? typedFigure(draft.gross) : null,
    tareKg: weighed ? typedFigure(draft.tare) : null,
    faults: readFaults(draft.faults).faults,
    place: draft.place.trim() || null,
    reason: status === 'free' ? null : draft.reason.trim(),
  }
}
