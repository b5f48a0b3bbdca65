import type { OrdersPreview } from '../../works/api.ts'
import type { Problem } from '../../works/problem.ts'

/** What has been pasted or dropped and how far it has got. */
export interface OrdersDraft {
  /** The paste box is shown. */
  open: boolean
  text: string
  fileName: string | null
  busy: boolean
  preview: OrdersPreview | null
  error: Error | null
  /** Said after storing. */
  stored: string | null
}

export const emptyDraft: OrdersDraft = {
  open: false,
  text: '',
  fileName: null,
  busy: false,
  preview: null,
  error: null,
  stored: null,
}

export interface CellProblems {
  /** By row of the preview (from 0) and column. */
  byCell: Map<string, Problem>
  /** Those that concern no cell that is shown. */
  elsewhere: Problem[]
}

export function cellKey(index: number, column: string): string {
  return `${index} ${column}`
}

/** Which problem belongs on which cell. A problem counts rows as a spreadsheet does: the header is row 1. */
export function cellProblems(preview: OrdersPreview): CellProblems {
  const taken = new Map(preview.understood.columns.map((c) => [c.found, c.takenAs]))
  const byCell = new Map<string, Problem>()
  const elsewhere: Problem[] = []
  for (const problem of preview.problems) {
    const index = problem.row === null ? -1 : problem.row - 2
    const row = preview.rows[index]
    const named = problem.column
    const column = named === null || !row ? null : named in row ? named : (taken.get(named) ?? null)
    const key = column !== null && row && column in row ? cellKey(index, column) : null
    if (key === null || byCell.has(key)) elsewhere.push(problem)
    else byCell.set(key, problem)
  }
  return { byCell, elsewhere }
}

/** Columns worth showing: those with something wrong in them beside the number of the line, then those with something in them. */
export function shownColumns(preview: OrdersPreview, problems: CellProblems): string[] {
  const first = preview.rows[0]
  if (!first) return []
  const troubled = new Set([...problems.byCell.keys()].map((key) => key.slice(key.indexOf(' ') + 1)))
  const filled = Object.keys(first).filter((c) => troubled.has(c) || preview.rows.some((row) => row[c]))
  const rank = (column: string) =>
    column === 'order' || column === 'line' ? 0 : troubled.has(column) ? 1 : 2
  return filled.sort((a, b) => rank(a) - rank(b))
}

/** A row of the preview with its place in it. */
export interface PreviewRow {
  index: number
  cells: Record<string, string>
}

/** Rows with something wrong come first: among ten thousand nobody would find them. */
export function troubledFirst(preview: OrdersPreview, problems: CellProblems): PreviewRow[] {
  const troubled = new Set([...problems.byCell.keys()].map((key) => Number(key.slice(0, key.indexOf(' ')))))
  const rows = preview.rows.map((cells, index) => ({ index, cells }))
  return [...rows.filter((r) => troubled.has(r.index)), ...rows.filter((r) => !troubled.has(r.index))]
}
