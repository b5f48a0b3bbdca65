import type { Notice } from '../../works/problem.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'

const KINDS: Record<Notice['kind'], string> = {
  'unknown-column': 'Column not read',
  'line-unservable': 'Cannot be served',
  'group-unservable': 'No lot is enough',
  'putup-unfit': 'Put-up does not fit',
  'wood-unfit': 'Wood not allowed',
  'witness-marks': 'Marks against book',
  'witness-weight': 'Scale against book',
}

const COLUMNS: Column<Notice>[] = [
  { key: 'kind', head: 'Kind', track: '12rem', cell: (n) => <strong>{KINDS[n.kind]}</strong> },
  {
    key: 'where',
    head: 'Where',
    track: '14rem',
    cell: (n) => (
      <span>{[n.file, n.row !== null && `row ${n.row}`, n.column].filter(Boolean).join(', ')}</span>
    ),
  },
  {
    key: 'text',
    head: 'What was noticed',
    track: 'minmax(0, 1fr)',
    wide: true,
    cell: (n) => <span>{n.text}</span>,
  },
]

/** What was noticed on opening and does not refuse the folder. */
export function NoticeTable({ notices }: { notices: Notice[] }) {
  return (
    <section className="stack close" aria-labelledby="notices-head">
      <h2 id="notices-head">Noticed on opening</h2>
      <DataTable
        caption="Notices"
        columns={COLUMNS}
        rows={notices}
        keyOf={(n, i) => `${i} ${n.file} ${n.row}`}
      />
    </section>
  )
}
