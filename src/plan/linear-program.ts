/**
 * What planning needs of a linear-programming engine. The room `solver` implements it with the library and passes it in.
 * Everything is minimised; a bound may be ±Infinity.
 */
export interface LinearProgram {
  /** Adds a row lower ≤ Σ ≤ upper over columns there are; returns its number. */
  addRow(lower: number, upper: number, columns?: number[], values?: number[]): number
  /** Adds a column; returns its number. */
  addColumn(cost: number, lower: number, upper: number, rows: number[], values: number[]): number
  setRowBounds(row: number, lower: number, upper: number): void
  setColumnBounds(column: number, lower: number, upper: number): void
  /**
   * Solves the linear program; null when it has no optimum or the library gives up on it, so that an answer of none proves nothing.
   * Duals are of the rows: cost change per unit of the bound.
   */
  solve(): { objective: number; values: Float64Array; duals: Float64Array } | null
  /** Solves with these columns whole; null when nothing whole was found within the limit. */
  solveWhole(wholeColumns: number[], limit: WholeLimit): WholeSolved | null
  dispose(): void
}

/** How long to look for a whole-number answer. The time is kept only roughly. */
export interface WholeLimit {
  seconds: number
  /** Nodes of its tree, for who wants the same answer on every machine. */
  nodes: number
}

export interface WholeSolved {
  objective: number
  values: Float64Array
  /** Whether the library says that there is no better, but for rounding. */
  best: boolean
  /** Steps of the simplex method. */
  work: number
}

export interface LinearProgramEngine {
  create(): LinearProgram
}
