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
  /** Solves the linear program; null when it has no optimum. Duals are of the rows: cost change per unit of the bound. */
  solve(): { objective: number; values: Float64Array; duals: Float64Array } | null
  /** Solves with these columns whole; null when nothing whole was found in time. The time limit is soft. */
  solveWhole(wholeColumns: number[], seconds: number): { objective: number; values: Float64Array } | null
  dispose(): void
}

export interface LinearProgramEngine {
  create(): LinearProgram
}
