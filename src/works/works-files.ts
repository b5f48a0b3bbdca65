/** The sixteen files of a works folder, in the order in which problems are listed. Nothing else of the folder is read. */
export const WORKS_FILES = [
  'cables.csv',
  'attenuation.csv',
  'connectors.csv',
  'putups.csv',
  'drums.csv',
  'marks.csv',
  'faults.csv',
  'orders.csv',
  'counter_checks.csv',
  'lead_tests.csv',
  'line_run.csv',
  'month_ledger.csv',
  'lines.json',
  'benches.json',
  'markets.json',
  'costs.json',
] as const

export type WorksFile = (typeof WORKS_FILES)[number]

/** Limits of the works folder contract. */
export const MAX_FILE_BYTES = 20 * 1024 * 1024
export const MAX_ROWS = 200_000
/** Far above any table of the contract; keeps a hostile header small. */
export const MAX_COLUMNS = 1000
export const MAX_CELL_CHARS = 500
export const MAX_LENGTH_M = 100_000
export const MAX_QTY = 10_000
/** Every number is below this in size. */
export const MAX_NUMBER = 1e9
/** So many problems are listed; the rest is counted. */
export const MAX_PROBLEMS = 1000
