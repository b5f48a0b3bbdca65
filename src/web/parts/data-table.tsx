import { type CSSProperties, type KeyboardEvent, type ReactNode, useEffect, useRef, useState } from 'react'
import { count } from '../format.ts'
import { useRowWindow } from './row-window.ts'

export interface Column<T> {
  key: string
  head: string
  /** Width as a grid track. */
  track: string
  number?: boolean
  /** Takes the whole width where the table folds on a narrow screen. */
  wide?: boolean
  cell: (row: T, index: number) => ReactNode
}

interface DataTableProps<T> {
  caption: string
  columns: Column<T>[]
  rows: T[]
  keyOf: (row: T, index: number) => string
  /** With these two the first column is a button that chooses the row; arrows move between the rows. */
  chosen?: string | null
  onChoose?: (key: string) => void
  /** Scrolls in a pane of its own even when short. */
  pane?: boolean
  /** Never folds: scrolls sideways, as a spreadsheet does. */
  sheet?: boolean
  /** Many columns of short figures: they stand closer. */
  dense?: boolean
  /** Lines of text in a cell when there are so many rows that all must be equally high. */
  lines?: number
}

const STEPS: Record<string, number> = { ArrowDown: 1, ArrowUp: -1, PageDown: 10, PageUp: -10 }

/** Where the arrow keys lead from a row, or null for any other key. */
function rowAfter(key: string, from: number, rows: number): number | null {
  if (key === 'Home') return 0
  if (key === 'End') return rows - 1
  const step = STEPS[key]
  return step === undefined ? null : Math.min(rows - 1, Math.max(0, from + step))
}

/** Which row is the table's one tab stop, and the keys that move it. */
function useRowFocus({ box, reveal }: ReturnType<typeof useRowWindow>, rows: number, chosenIndex: number) {
  const [at, setAt] = useState(0)
  const wanted = useRef<number | null>(null)
  const current = Math.min(at, Math.max(0, rows - 1))

  // after every drawing, since the row to focus may only just have come into sight
  useEffect(() => {
    if (wanted.current === null) return
    const button = box.current?.querySelector<HTMLElement>(`[data-row="${wanted.current}"] .row-button`)
    if (!button) return
    wanted.current = null
    button.focus()
  })
  useEffect(() => {
    if (chosenIndex < 0) return
    setAt(chosenIndex)
    reveal(chosenIndex)
  }, [chosenIndex, reveal])

  function move(event: KeyboardEvent) {
    const next = rowAfter(event.key, current, rows)
    if (next === null || !(event.target as HTMLElement).classList.contains('row-button')) return
    event.preventDefault()
    setAt(next)
    wanted.current = next
    reveal(next)
  }
  return { current, setAt, move }
}

interface RowButtonProps {
  index: number
  rowKey: string
  tabbed: boolean
  isChosen: boolean
  onFocus: (index: number) => void
  onChoose: (key: string) => void
  children: ReactNode
}

function RowButton({ index, rowKey, tabbed, isChosen, onFocus, onChoose, children }: RowButtonProps) {
  return (
    <button
      type="button"
      className="row-button"
      tabIndex={tabbed ? 0 : -1}
      aria-pressed={isChosen}
      onFocus={() => onFocus(index)}
      onClick={() => onChoose(rowKey)}
    >
      {children}
    </button>
  )
}

function tableStyle(tracks: string, view: { rowHeight: number; cellHeight: number }): CSSProperties {
  const sizes = { '--row-height': `${view.rowHeight}px`, '--cell-height': `${view.cellHeight}px` }
  return { '--tracks': tracks, ...sizes } as CSSProperties
}

interface HeadProps<T> {
  caption: string
  columns: Column<T>[]
  rows: number
}

function Head<T>({ caption, columns, rows }: HeadProps<T>) {
  return (
    <>
      <caption className="spoken">
        {caption}, {count(rows)} rows
      </caption>
      <thead>
        <tr aria-rowindex={1}>
          {columns.map((c) => (
            <th key={c.key} scope="col" className={c.number ? 'number' : undefined}>
              {c.head}
            </th>
          ))}
        </tr>
      </thead>
    </>
  )
}

/** A table that folds on narrow screens, draws only the rows in sight when there are many, and is one tab stop. */
export function DataTable<T>(props: DataTableProps<T>) {
  const {
    caption,
    columns,
    rows,
    keyOf,
    chosen = null,
    onChoose,
    pane = false,
    sheet = false,
    dense = false,
    lines = 2,
  } = props
  const view = useRowWindow(rows.length, lines)
  const chosenIndex = chosen === null ? -1 : rows.findIndex((row, i) => keyOf(row, i) === chosen)
  const { current, setAt, move } = useRowFocus(view, rows.length, chosenIndex)
  const tracks = columns.map((c) => c.track).join(' ')
  return (
    <section
      className={`table-scroll ${sheet ? 'sheet' : 'folds'}${view.virtual ? ' virtual' : ''}${pane ? ' pane' : ''}`}
      ref={view.box}
      aria-label={caption}
      tabIndex={onChoose ? undefined : 0}
      onScroll={view.onScroll}
    >
      <table
        className={dense ? 'data dense' : 'data'}
        aria-rowcount={rows.length + 1}
        style={tableStyle(tracks, view)}
        onKeyDown={onChoose && move}
      >
        <Head caption={caption} columns={columns} rows={rows.length} />
        <tbody style={{ paddingTop: view.above, paddingBottom: view.below }}>
          {rows.slice(view.first, view.last).map((row, k) => {
            const index = view.first + k
            const key = keyOf(row, index)
            const isChosen = key === chosen
            const button = onChoose && { tabbed: index === current, isChosen, onFocus: setAt, onChoose }
            return (
              <tr
                key={key}
                data-row={index}
                aria-rowindex={index + 2}
                className={isChosen ? 'chosen' : undefined}
              >
                {columns.map((column, position) => (
                  <td
                    key={column.key}
                    className={`${column.number ? 'number' : ''} ${column.wide ? 'wide' : ''}`}
                  >
                    {button && position === 0 ? (
                      <RowButton {...button} index={index} rowKey={key}>
                        {column.cell(row, index)}
                      </RowButton>
                    ) : (
                      column.cell(row, index)
                    )}
                  </td>
                ))}
              </tr>
            )
          })}
        </tbody>
      </table>
    </section>
  )
}
