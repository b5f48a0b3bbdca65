import { expect, test } from 'vitest'
import type { OrdersPreview } from '../../works/api.ts'
import type { Problem } from '../../works/problem.ts'
import { cellKey, cellProblems, shownColumns, troubledFirst } from './orders-draft.ts'

const rows = [
  { order: '1', line: '1', customer: 'A', note: '' },
  { order: '2', line: '1', customer: 'B', note: '' },
]

function problem(row: number | null, column: string | null): Problem {
  return { file: 'pasted content', row, column, wrong: 'wrong', right: 'right' }
}

function preview(problems: Problem[]): OrdersPreview {
  const columns = [{ found: 'Kunde', takenAs: 'customer' }]
  const understood = { source: 'semicolon' as const, decimalMark: ',' as const, rows: 2, columns, notes: [] }
  return { token: '', understood, rows, problems, more: 0, replaces: [] }
}

test('a problem stands on its cell: row 2 is the first below the header, the column by either of its names', () => {
  const { byCell, elsewhere } = cellProblems(preview([problem(2, 'order'), problem(3, 'Kunde')]))
  expect([...byCell.keys()]).toEqual([cellKey(0, 'order'), cellKey(1, 'customer')])
  expect(elsewhere).toEqual([])
})

test('a problem without a cell that is shown is not lost', () => {
  const lost = [problem(null, null), problem(99, 'order'), problem(2, 'no_such_column'), problem(1, 'order')]
  expect(cellProblems(preview(lost)).elsewhere).toEqual(lost)
})

test('a second problem of one cell is listed beside', () => {
  const both = [problem(2, 'order'), { ...problem(2, 'order'), wrong: 'also' }]
  const { byCell, elsewhere } = cellProblems(preview(both))
  expect(byCell.size + elsewhere.length).toBe(2)
})

test('an empty column is shown only where something is wrong in it', () => {
  const sound = preview([])
  expect(shownColumns(sound, cellProblems(sound))).toEqual(['order', 'line', 'customer'])
  const wrong = preview([problem(2, 'note')])
  expect(shownColumns(wrong, cellProblems(wrong))).toEqual(['order', 'line', 'note', 'customer'])
})

test('rows and columns with something wrong come first', () => {
  const wrong = preview([problem(3, 'customer')])
  expect(troubledFirst(wrong, cellProblems(wrong)).map((row) => row.index)).toEqual([1, 0])
})
