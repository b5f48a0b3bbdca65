import type { ShortChance } from '../ledger/complaint-chance.ts'
import type { Trace } from '../ledger/trace.ts'
import { figureWords, NOT_SAID, shortSentences, traceFacts, traceSentence } from '../ledger/trace-words.ts'
import { figureText, lengthText } from '../quantity/length-text.ts'
import { paintSheets, sheetFrame, verdictBlock } from './certificates.ts'
import type { Block } from './flow.ts'
import { A4_PT, Pen } from './pen.ts'
import { factGrid, headedParagraph, signatures } from './sheet-blocks.ts'
import { type Cell, type Column, table } from './sheet-table.ts'

export interface ComplaintPaper {
  trace: Trace
  /** null where the piece declares no length. */
  short: ShortChance | null
  works: { name: string; town: string }
  /** As it is to be printed. */
  printedAt: string
}

/** Everything that is known about one piece, for a complaint about it or before there is one. */
export async function complaintPagePdf(paper: ComplaintPaper): Promise<Uint8Array> {
  const { trace, short, works, printedAt } = paper
  const { piece, complaints } = trace
  const newest = complaints.at(-1)
  const title = newest
    ? `Complaint ${newest.complaint}: piece ${piece.serial}`
    : `Everything known of piece ${piece.serial}`
  const pen = new Pen(title, A4_PT)
  const head = {
    ...{ title, works: `${works.name}, ${works.town}`, printed: `printed ${printedAt}` },
    code: `lastmetre:piece/${encodeURIComponent(piece.serial)}`,
  }
  paintSheets(pen, head, [
    verdictBlock(pen, short ? shortSentences(short).join(' ') : 'No length is declared for this piece.'),
    headedParagraph(pen, sheetFrame, 'What it is', traceSentence(trace)),
    ...complaints.map((c) => claimBlock(pen, c)),
    ...factGrid(pen, sheetFrame, traceFacts(trace)),
    ...figureBlocks(pen, trace),
    ...table(pen, sheetFrame, HISTORY_COLUMNS, trace.history.map(historyCells)),
    headedParagraph(pen, sheetFrame, 'How the probability was computed', METHOD),
    signatures(pen, sheetFrame, ['Looked into by, date', 'Settled by, date']),
  ])
  return pen.bytes()
}

const METHOD =
  'Length = counter reading / (1 + error of the counter that day); the error and its uncertainty from all tape checks of the line, also later ones. Without a reading the length as it was booked. ' +
  'The uncertainties are added by squares (GUM 5.1.2); the probability is that of a normal quantity below the declared length (JCGM 106:2012 7.2). ' +
  'A customer’s measurement with its uncertainty is weighed in by 1/u² (Bayes’ rule for normal quantities). A probability is no verdict: what is owed follows from contract and law.'

function claimBlock(pen: Pen, complaint: Trace['complaints'][number]): Block {
  const { claim, claimedUm, uncUm, method, note, openedDay, verdict, closedNote } = complaint
  const measured =
    claimedUm === null
      ? claim === 'short'
        ? 'No length is given.'
        : ''
      : `The customer measured ${lengthText(claimedUm, 'm')}${uncUm === null ? ', without an uncertainty' : ` ± ${lengthText(2 * uncUm, 'm')} (2 u)`}.`
  const closed = verdict === 'open' ? 'It is open.' : `It is ${verdict}: ${closedNote ?? ''}`
  const text = [
    `Opened ${openedDay}: ${claim}.`,
    measured,
    method === NOT_SAID ? '' : `Method: ${method}.`,
    note === null ? '' : `They say: ${note.trim().replace(/\.$/, '')}.`,
    closed,
  ]
  return headedParagraph(pen, sheetFrame, `Complaint ${complaint.complaint}`, text.filter(Boolean).join(' '))
}

function figureBlocks(pen: Pen, { piece, lot }: Trace): Block[] {
  const list = [
    ...piece.figures.map((f) => `Piece: ${figureWords(f)}`),
    ...(lot?.figures ?? []).map((f) => `Lot: ${figureWords(f)}`),
  ]
  if (list.length === 0) return []
  return [
    headedParagraph(
      pen,
      sheetFrame,
      `Tests on record (${figureText(list.length, 0)})`,
      `${list.join('. ')}.`,
    ),
  ]
}

const column = (name: string, width: number): Column => ({ name, width, anchor: 'start' })
const HISTORY_COLUMNS = [
  column('When', 96),
  column('Event', 44),
  column('What happened', 250),
  column('By', 70),
  column('Station', 90),
]

function historyCells({ day, at, seq, text, actor, station }: Trace['history'][number]): Cell[] {
  return [
    { texts: [`${day} ${at.slice(11, 16)} UTC`] },
    { texts: [String(seq)] },
    { texts: [text] },
    { texts: [actor] },
    { texts: [station] },
  ]
}
