import { useMemo } from 'react'
import type { OrdersPreview } from '../../works/api.ts'
import { count, many } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { ProblemTable } from '../parts/problem-table.tsx'
import {
  type CellProblems,
  cellKey,
  cellProblems,
  type PreviewRow,
  shownColumns,
  troubledFirst,
} from './orders-draft.ts'

const SOURCES = {
  tab: 'cells copied from a spreadsheet (separated by tabs)',
  semicolon: 'text separated by semicolons',
  comma: 'text separated by commas',
  xlsx: 'the first sheet of a workbook',
} as const

const LEAST_WIDTH_CH = 5
const MOST_WIDTH_CH = 28
const BAD_WIDTH_CH = 32
/** Rows that are looked at for the width of a column. */
const MEASURED_ROWS = 200

function columnsOf(preview: OrdersPreview, problems: CellProblems): Column<PreviewRow>[] {
  const bad = new Set([...problems.byCell.values()].map((p) => p.column))
  const width = (column: string) => {
    if (bad.has(column)) return BAD_WIDTH_CH
    const letters = preview.rows.slice(0, MEASURED_ROWS).map((row) => row[column]?.length ?? 0)
    return Math.min(MOST_WIDTH_CH, Math.max(LEAST_WIDTH_CH, column.length + 2, ...letters))
  }
  return [
    { key: ' row', head: 'Row', track: '5ch', number: true, cell: (row) => <span>{row.index + 2}</span> },
    ...shownColumns(preview, problems).map((column) => ({
      key: column,
      head: column,
      track: `${width(column)}ch`,
      cell: ({ cells, index }: PreviewRow) => {
        const problem = problems.byCell.get(cellKey(index, column))
        if (!problem) return <span>{cells[column]}</span>
        return (
          <span className="bad-cell">
            {problem.wrong}; right would be {problem.right}
          </span>
        )
      },
    })),
  ]
}

interface Props {
  preview: OrdersPreview
  busy: boolean
  onStore: () => void
  onDiscard: () => void
}

/** What was pasted, as it was understood; nothing is stored before the press. */
export function OrdersPreviewPanel({ preview, busy, onStore, onDiscard }: Props) {
  const { understood } = preview
  const problems = useMemo(() => cellProblems(preview), [preview])
  const wrong = preview.problems.length + preview.more
  const columns = useMemo(() => columnsOf(preview, problems), [preview, problems])
  const ordered = useMemo(() => troubledFirst(preview, problems), [preview, problems])
  return (
    <section className="stack preview" aria-labelledby="preview-head">
      <h2 id="preview-head">Understood as {many(understood.rows, 'order line')}</h2>
      <Understood preview={preview} />
      {wrong > 0 && (
        <p className="banner bad" role="alert">
          <strong>{many(wrong, 'cell')} cannot be right.</strong> Mend what is marked in the paste box or in
          your spreadsheet, and read it again. Nothing is stored until all is right.
        </p>
      )}
      {ordered.length > 0 && (
        <DataTable
          caption="Order lines as understood"
          columns={columns}
          rows={ordered}
          keyOf={(row) => String(row.index)}
          sheet
          lines={wrong > 0 ? 4 : 1}
        />
      )}
      {problems.elsewhere.length > 0 && <ProblemTable problems={problems.elsewhere} />}
      <div className="row">
        <button
          type="button"
          className="main-action"
          disabled={busy || wrong > 0 || preview.token === ''}
          onClick={onStore}
        >
          Store {many(understood.rows, 'order line')}
        </button>
        <button type="button" className="button" onClick={onDiscard}>
          Discard
        </button>
      </div>
    </section>
  )
}

function Understood({ preview }: { preview: OrdersPreview }) {
  const { understood } = preview
  const unused = understood.columns.filter((c) => c.takenAs === null)
  const renamed = understood.columns.filter((c) => c.takenAs !== null && c.takenAs !== c.found)
  return (
    <dl className="facts">
      <dt>Form</dt>
      <dd>{SOURCES[understood.source]}</dd>
      <dt>Decimal mark</dt>
      <dd>{understood.decimalMark === ',' ? 'comma (12,5)' : 'point (12.5)'}</dd>
      <dt>Columns found</dt>
      <dd>
        {count(understood.columns.length - unused.length)} used
        {renamed.length > 0 && `, of which ${renamed.map((c) => `“${c.found}” as ${c.takenAs}`).join(', ')}`}
        {unused.length > 0 && `; not used: ${unused.map((c) => `“${c.found}”`).join(', ')}`}
      </dd>
      {understood.notes.length > 0 && (
        <>
          <dt>Taken so</dt>
          <dd>{understood.notes.join(' ')}</dd>
        </>
      )}
      {preview.replaces.length > 0 && (
        <>
          <dt>Replaces</dt>
          <dd>
            {preview.replaces
              .slice(0, 20)
              .map((r) => `${r.order}/${r.line}`)
              .join(', ')}
            {preview.replaces.length > 20 && ` and ${count(preview.replaces.length - 20)} more`}
          </dd>
        </>
      )}
    </dl>
  )
}
