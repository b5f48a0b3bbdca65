/** Worth of giving a row to a column; null where it may not be given. Whole numbers, so that sums are exact. */
export type WorthTable = readonly (readonly (number | null)[])[]

/**
 * Gives each row to at most one column and each column at most as many rows as it takes, so that the sum of worths is the
 * greatest there is; answers the column of each row, null where it stays ungiven. Exact: rows are added one at a time, each along
 * the path of greatest gain through what is given already (successive shortest paths; Ahuja, Magnanti, Orlin, Network Flows,
 * 1993, 9.7). Among equals the earlier row and the earlier column.
 */
export function bestAssignment(worth: WorthTable, takes: readonly number[]): (number | null)[] {
  const given: (number | null)[] = worth.map(() => null)
  const rowsOf: Set<number>[] = takes.map(() => new Set())
  for (let row = 0; row < worth.length; row++) {
    const path = bestPath(worth, takes, given, rowsOf, row)
    if (!path) continue
    for (const { row: moved, column } of path) {
      const before = given[moved] ?? null
      if (before !== null) rowsOf[before]?.delete(moved)
      given[moved] = column
      if (column !== null) rowsOf[column]?.add(moved)
    }
  }
  return given
}

interface Step {
  row: number
  /** Null: the row is given up. */
  column: number | null
}

/** The moves of greatest gain that give the new row a column: null where none gains. */
function bestPath(
  worth: WorthTable,
  takes: readonly number[],
  given: readonly (number | null)[],
  rowsOf: readonly ReadonlySet<number>[],
  newRow: number,
): Step[] | null {
  // greatest gain so far of having one row too many in a column, and the row that came there last
  const gain: number[] = takes.map(() => Number.NEGATIVE_INFINITY)
  const cameBy: number[] = takes.map(() => -1)
  let best = 0
  let end: { column: number; dropped: number | null } | null = null
  let waiting = new Set<number>()
  const reach = (row: number, from: number) => {
    for (const [column, w] of (worth[row] ?? []).entries())
      if (w !== null && column !== given[row] && takes[column]! > 0 && from + w > gain[column]!) {
        gain[column] = from + w
        cameBy[column] = row
        waiting.add(column)
      }
  }
  reach(newRow, 0)
  while (waiting.size > 0) {
    const now = waiting
    waiting = new Set()
    for (const column of now) {
      const here = gain[column]!
      const held = rowsOf[column]!
      if (held.size < takes[column]!) {
        if (here > best) {
          best = here
          end = { column, dropped: null }
        }
        continue
      }
      for (const row of held) {
        const without = here - worth[row]![column]!
        if (without > best) {
          best = without
          end = { column, dropped: row }
        }
        reach(row, without)
      }
    }
  }
  return end && stepsTo(end, given, cameBy)
}

function stepsTo(
  end: { column: number; dropped: number | null },
  given: readonly (number | null)[],
  cameBy: readonly number[],
): Step[] {
  const steps: Step[] = end.dropped === null ? [] : [{ row: end.dropped, column: null }]
  for (let column: number | null = end.column; column !== null; ) {
    const row: number = cameBy[column]!
    steps.push({ row, column })
    column = given[row] ?? null
  }
  return steps
}
