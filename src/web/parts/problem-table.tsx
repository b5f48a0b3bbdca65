import type { Problem } from '../../works/problem.ts'
import { type Column, DataTable } from './data-table.tsx'

const COLUMNS: Column<Problem>[] = [
  { key: 'file', head: 'File', track: '10rem', cell: (p) => <span>{p.file}</span> },
  {
    key: 'row',
    head: 'Row',
    track: '4rem',
    cell: (p) => <span>{p.row === null ? 'whole file' : `row ${p.row}`}</span>,
  },
  { key: 'column', head: 'Column', track: '10rem', cell: (p) => <span>{p.column ?? '–'}</span> },
  {
    key: 'wrong',
    head: 'What is wrong',
    track: 'minmax(0, 1fr)',
    wide: true,
    cell: (p) => <span className="wrong">{p.wrong}</span>,
  },
  {
    key: 'right',
    head: 'What would be right',
    track: 'minmax(0, 1fr)',
    wide: true,
    cell: (p) => <span>{p.right}</span>,
  },
]

export function ProblemTable({ problems }: { problems: Problem[] }) {
  return (
    <DataTable
      caption="Problems"
      columns={COLUMNS}
      rows={problems}
      keyOf={(p, i) => `${i} ${p.file} ${p.row} ${p.column}`}
    />
  )
}
