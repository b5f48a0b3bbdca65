import { pieceDrawing } from '../../drawing/piece-drawing.ts'
import type { ShortChance } from '../../ledger/complaint-chance.ts'
import type { PieceHappening } from '../../ledger/piece-history.ts'
import type { Trace } from '../../ledger/trace.ts'
import {
  claimWords,
  figureWords,
  shortSentences,
  traceFacts,
  traceHead,
  traceTail,
} from '../../ledger/trace-words.ts'
import { daysIn } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { drawingWidthPx, TEXT_SIZE_PX } from '../parts/drawing-size.ts'
import { Figure } from '../parts/figure.tsx'
import { Near } from '../parts/near.tsx'
import { instant } from '../works-clock.ts'
import { PageButton } from './page-button.tsx'
import { recordsHash } from './records-view.tsx'

const HEIGHT_PX = 120

/** One piece: where it is, whether it can have been short, how it lies on its strip, and everything else that is known. */
export function PieceAnswer({ trace, short }: { trace: Trace; short: ShortChance | null }) {
  const { piece, neighbours, marks, faults, complaints } = trace
  const open = complaints.filter((c) => c.verdict === 'open')
  return (
    <>
      <section className="stack" aria-label={`Piece ${piece.serial}`}>
        <p className="sentence wraps" data-testid="trace-sentence">
          <strong>{traceHead(trace)}</strong>
          {daysIn(traceTail(trace))}
        </p>
        {short && <p className="wraps">{shortSentences(short).join(' ')}</p>}
        {open.map((c) => (
          <p className="banner wraps" role="note" key={c.complaint}>
            <strong>Complaint {c.complaint} is open:</strong> {claimWords(c)}.{' '}
            <a href="#complaints">To the complaints</a>
          </p>
        ))}
        <div className="row">
          <PageButton serial={piece.serial} />
          <a className="button" href={recordsHash('complaints', piece.serial)}>
            A customer complains
          </a>
          <a
            className="button"
            href={recordsHash(
              'recall',
              'strip',
              piece.strip,
              String(piece.fromUm / 1e6),
              String(piece.toUm / 1e6),
            )}
          >
            What else this stretch touched
          </a>
        </div>
        <Near heightPx={HEIGHT_PX}>
          {(widthPx) => (
            <Figure
              drawing={pieceDrawing(
                {
                  ...{ piece: { ...piece, use: 'piece', ref: piece.serial }, marks, faults },
                  ...neighbours,
                },
                drawingWidthPx(widthPx),
                TEXT_SIZE_PX,
              )}
            />
          )}
        </Near>
      </section>
      <Known trace={trace} />
      <History history={trace.history} />
    </>
  )
}

function Known({ trace }: { trace: Trace }) {
  const { piece, parent, leads } = trace
  return (
    <section className="stack" aria-labelledby="known-head">
      <h2 id="known-head">What is known of it</h2>
      <dl className="fact-tiles">
        {traceFacts(trace).map(([name, value]) => (
          <div className="fact" key={name}>
            <dt className="small quiet">{name}</dt>
            <dd className="wraps">{daysIn(value)}</dd>
          </div>
        ))}
      </dl>
      <p className="row">
        <a href={recordsHash('follow', piece.strip)}>Strip {piece.strip}</a>
        <a href={recordsHash('follow', piece.lot)}>Lot {piece.lot}</a>
        {parent && <a href={recordsHash('follow', parent.serial)}>Bench length {parent.serial}</a>}
        {leads.map((lead) => (
          <a key={lead.serial} href={recordsHash('follow', lead.serial)}>
            Lead {lead.serial}
          </a>
        ))}
      </p>
      {piece.figures.length > 0 && (
        <ul className="plain-list">
          {piece.figures.map((figure) => (
            <li key={`${figure.quantity} ${figure.fMhz}`} className="wraps">
              {figureWords(figure)}
            </li>
          ))}
        </ul>
      )}
    </section>
  )
}

const COLUMNS: Column<PieceHappening>[] = [
  { key: 'at', head: 'When', track: '12rem', cell: (h) => instant(h.at) },
  {
    key: 'what',
    head: 'What happened',
    track: 'minmax(0, 1fr)',
    wide: true,
    cell: (h) => <span className="wraps">{h.text}</span>,
  },
  { key: 'by', head: 'By', track: '8rem', cell: (h) => <span className="wraps">{h.actor}</span> },
  { key: 'station', head: 'Station', track: '7rem', cell: (h) => <span className="wraps">{h.station}</span> },
  { key: 'seq', head: 'Event', track: '5rem', number: true, cell: (h) => h.seq },
]

function History({ history }: { history: PieceHappening[] }) {
  return (
    <section className="stack" aria-labelledby="history-head">
      <h2 id="history-head">What happened to it</h2>
      <DataTable caption="History" columns={COLUMNS} rows={history} keyOf={(h) => String(h.seq)} />
    </section>
  )
}
