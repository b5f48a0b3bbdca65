import { useMemo } from 'react'
import type { RunRow } from '../../dispatch/run-row.ts'
import type { RunSheet } from '../../dispatch/run-sheet.ts'
import type { CutRun } from '../../line/cut-run.ts'
import { figureText } from '../../quantity/length-text.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'

interface CutLine {
  row: RunRow
  preset: CutRun | null
}

const metres = (value: number | undefined) => (value === undefined ? '–' : value.toFixed(3))

const COLUMNS: Column<CutLine>[] = [
  { key: 'cut', head: 'Cut', track: '2.5rem', cell: ({ row }) => <strong>{row.cut}</strong> },
  {
    key: 'what',
    head: 'What',
    track: 'minmax(0, 1fr)',
    wide: true,
    cell: ({ row }) => (
      <span className="clamped">
        {row.what}
        {row.order && `, ${row.order}`}
        {row.held && <strong> · held: no spark test</strong>}
      </span>
    ),
  },
  { key: 'putup', head: 'Put-up', track: '7rem', cell: ({ row }) => <span>{row.putup || '–'}</span> },
  {
    key: 'run',
    head: 'True length, m',
    track: '5.5rem',
    number: true,
    cell: ({ row }) => <span>{row.run}</span>,
  },
  {
    key: 'slow',
    head: 'Slow at, m',
    track: '5rem',
    number: true,
    cell: ({ preset }) => <span>{metres(preset?.slowAtM)}</span>,
  },
  {
    key: 'stop',
    head: 'Stop at, m',
    track: '5rem',
    number: true,
    cell: ({ preset }) => <strong>{metres(preset?.stopAtM)}</strong>,
  },
  {
    key: 'mark',
    head: 'Mark',
    track: '5rem',
    number: true,
    cell: ({ row }) => <span>{row.mark || '–'}</span>,
  },
  {
    key: 'time',
    head: 'Run + hands, s',
    track: '5.5rem',
    number: true,
    cell: ({ preset }) => (
      <span>{preset ? `${figureText(preset.runS, 0)} + ${figureText(preset.handlingS, 0)}` : '–'}</span>
    ),
  },
]

/** Every cut with where the counter slows and stops. */
export function CutTable({ sheet, presets }: { sheet: RunSheet; presets: CutRun[] }) {
  const lines = useMemo(() => {
    const byCut = new Map(presets.map((p) => [String(p.cut), p]))
    return sheet.rows.map((row): CutLine => ({ row, preset: byCut.get(row.cut) ?? null }))
  }, [sheet, presets])
  return (
    <section className="stack close" aria-labelledby="cuts-head">
      <h2 id="cuts-head">Cuts, from the outer end</h2>
      <p className="small quiet wraps">{sheet.correction}</p>
      <DataTable caption="Cuts" columns={COLUMNS} rows={lines} keyOf={(_, i) => String(i)} />
      <p className="small wraps">{sheet.rest}</p>
    </section>
  )
}
