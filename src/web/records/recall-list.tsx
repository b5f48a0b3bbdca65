import type { Recall, RecalledPiece, RecalledStock } from '../../ledger/recall.ts'
import { day, lengthM } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { recordsHash } from './records-view.tsx'

const PIECES: Column<RecalledPiece>[] = [
  {
    key: 'serial',
    head: 'Piece',
    track: '8rem',
    cell: (p) => <a href={recordsHash('follow', p.serial)}>{p.serial}</a>,
  },
  {
    key: 'what',
    head: 'What',
    track: 'minmax(0, 1fr)',
    cell: (p) => (
      <span className="wraps">
        {p.declaredText || 'bench length'}, {p.cable}
      </span>
    ),
  },
  { key: 'cut', head: 'Cut on', track: '7rem', cell: (p) => day(p.day) },
  {
    key: 'where',
    head: 'Where it is',
    track: 'minmax(0, 1fr)',
    cell: (p) => <span className="wraps">{p.whereText}</span>,
  },
  {
    key: 'action',
    head: 'What to do',
    track: 'minmax(0, 2fr)',
    wide: true,
    cell: (p) => <span className="wraps">{p.action}</span>,
  },
]

const STOCK: Column<RecalledStock>[] = [
  {
    key: 'drum',
    head: 'Drum',
    track: '8rem',
    cell: (s) => <a href={recordsHash('follow', s.drum)}>{s.drum}</a>,
  },
  { key: 'length', head: 'Touched', track: '9rem', number: true, cell: (s) => lengthM(s.lengthUm) },
  {
    key: 'place',
    head: 'Place',
    track: 'minmax(0, 1fr)',
    cell: (s) => <span className="wraps">{s.place ?? 'no place'}</span>,
  },
  {
    key: 'action',
    head: 'What to do',
    track: 'minmax(0, 2fr)',
    wide: true,
    cell: (s) => <span className="wraps">{s.action}</span>,
  },
]

/** Pieces and stock that are touched: what can still be stopped first. */
export function RecallList({ recall }: { recall: Recall }) {
  const { pieces, stock, leftOff } = recall
  return (
    <>
      {leftOff && (
        <p className="banner bad" role="note">
          <strong>Not all pieces are listed:</strong> there are more than fit one list. Ask for a shorter
          stretch or a later date.
        </p>
      )}
      {pieces.length > 0 && (
        <DataTable caption="Pieces that are touched" columns={PIECES} rows={pieces} keyOf={(p) => p.serial} />
      )}
      {stock.length > 0 && (
        <DataTable
          caption="Stock that is touched"
          columns={STOCK}
          rows={stock}
          keyOf={(s) => `${s.drum} ${s.fromUm}`}
        />
      )}
    </>
  )
}
