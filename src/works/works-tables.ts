import type { z } from 'zod'
import { ATTENUATION_COLUMNS, CABLE_COLUMNS } from './cables-csv.ts'
import type { Columns } from './column.ts'
import { readCsv } from './csv-text.ts'
import { decodeText } from './decode-text.ts'
import { BENCH_SHAPE, COST_SHAPE, MARKET_SHAPE } from './hall-json.ts'
import { CONNECTOR_COLUMNS, ORDER_COLUMNS } from './orders-csv.ts'
import type { Notice } from './problem.ts'
import type { ProblemList } from './problem-list.ts'
import { type JsonFile, readJsonFile } from './read-json-file.ts'
import { readTable, type Table } from './read-table.ts'
import { COUNTER_CHECK_COLUMNS, LEAD_TEST_COLUMNS, MONTH_COLUMNS, RUN_COLUMNS } from './records-csv.ts'
import { SITE_SHAPE } from './site-json.ts'
import { DRUM_COLUMNS, FAULT_COLUMNS, MARK_COLUMNS, PUTUP_COLUMNS } from './stock-csv.ts'
import type { WorksFile } from './works-files.ts'

/** The columns of every CSV of a works folder. */
export const COLUMNS = {
  'cables.csv': CABLE_COLUMNS,
  'attenuation.csv': ATTENUATION_COLUMNS,
  'connectors.csv': CONNECTOR_COLUMNS,
  'putups.csv': PUTUP_COLUMNS,
  'drums.csv': DRUM_COLUMNS,
  'marks.csv': MARK_COLUMNS,
  'faults.csv': FAULT_COLUMNS,
  'orders.csv': ORDER_COLUMNS,
  'counter_checks.csv': COUNTER_CHECK_COLUMNS,
  'lead_tests.csv': LEAD_TEST_COLUMNS,
  'line_run.csv': RUN_COLUMNS,
  'month_ledger.csv': MONTH_COLUMNS,
} as const satisfies Partial<Record<WorksFile, unknown>>

/** A header without rows is allowed in these (works folder contract). */
const MAY_BE_EMPTY: readonly string[] = ['faults.csv', 'orders.csv']

/** Every file of a folder, each by itself; what could not be read is empty and not `whole`. */
export type WorksTables = ReturnType<typeof readTables>

export function readTables(files: ReadonlyMap<string, Uint8Array>, problems: ProblemList, notices: Notice[]) {
  const textOf = (file: WorksFile): string | null => {
    const bytes = files.get(file)
    if (!bytes) {
      problems.add(file, null, null, 'the file is missing', 'all sixteen files of a works folder')
      return null
    }
    const text = decodeText(bytes)
    if (typeof text === 'string') return text
    problems.add(file, text.row, null, text.wrong, text.right)
    return null
  }
  const table = <T>(file: WorksFile, columns: Columns<T>): Table<T> => {
    const text = textOf(file)
    if (text === null) return { file, rows: [], whole: false }
    return readTable(file, readCsv(text), columns, MAY_BE_EMPTY.includes(file), problems, notices)
  }
  const json = <T>(file: WorksFile, shape: z.ZodType<T>): JsonFile<T> => {
    const text = textOf(file)
    if (text === null) return { raw: undefined, value: undefined }
    return readJsonFile(file, text, shape, problems, notices)
  }
  return {
    cables: table('cables.csv', CABLE_COLUMNS),
    attenuation: table('attenuation.csv', ATTENUATION_COLUMNS),
    connectors: table('connectors.csv', CONNECTOR_COLUMNS),
    putups: table('putups.csv', PUTUP_COLUMNS),
    drums: table('drums.csv', DRUM_COLUMNS),
    marks: table('marks.csv', MARK_COLUMNS),
    faults: table('faults.csv', FAULT_COLUMNS),
    orders: table('orders.csv', ORDER_COLUMNS),
    counterChecks: table('counter_checks.csv', COUNTER_CHECK_COLUMNS),
    leadTests: table('lead_tests.csv', LEAD_TEST_COLUMNS),
    lineRun: table('line_run.csv', RUN_COLUMNS),
    monthLedger: table('month_ledger.csv', MONTH_COLUMNS),
    site: json('lines.json', SITE_SHAPE),
    benchHall: json('benches.json', BENCH_SHAPE),
    markets: json('markets.json', MARKET_SHAPE),
    costs: json('costs.json', COST_SHAPE),
  }
}
