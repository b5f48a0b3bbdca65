import type { CutRecord } from '../lead/cut-record.ts'
import type { BenchRecords } from '../lead/job-records.ts'
import type { KitPart, KitStock } from '../lead/kit-stock.ts'
import type { OpenLead } from '../lead/set-open-lead.ts'
import { type BenchTime, TIMED_TASKS } from '../lead/step-times.ts'
import { TOOL_KINDS, type Tool } from '../lead/tool.ts'
import { checkBench } from './check-bench.ts'
import {
  type Columns,
  choice,
  count,
  date,
  id,
  lengthUm,
  maybe,
  number,
  positive,
  ref,
  text,
} from './column.ts'
import { readCsv } from './csv-text.ts'
import { decodeText } from './decode-text.ts'
import { checkReferences } from './known-ids.ts'
import type { BenchTables } from './more-bench-tables.ts'
import type { Notice, Problem } from './problem.ts'
import { ProblemList } from './problem-list.ts'
import { readTable, type Table } from './read-table.ts'
import type { Works } from './works.ts'

/** Optional files of `more/` on the bench of leads. As strict as the sixteen. */
export const MORE_BENCH_FILES = [
  'more/finished_leads.csv',
  'more/open_leads.csv',
  'more/kit_stock.csv',
  'more/kit_parts.csv',
  'more/tools.csv',
  'more/bench_times.csv',
] as const

type MoreBenchFile = (typeof MORE_BENCH_FILES)[number]

export const FINISHED_LEAD_COLUMNS: Columns<CutRecord> = {
  serial: id('serial'),
  cable: ref('cable', 'cables.csv'),
  connA: ref('conn_a', 'connectors.csv'),
  connB: ref('conn_b', 'connectors.csv'),
  finishedDate: date('finished_date'),
  cutUm: lengthUm('cut_m', { above: 0 }),
  lengthUm: lengthUm('length_m', { above: 0 }),
}

export const OPEN_LEAD_COLUMNS: Columns<OpenLead> = {
  serial: id('serial'),
  cable: ref('cable', 'cables.csv'),
  lot: id('lot'),
  connA: ref('conn_a', 'connectors.csv'),
  connB: ref('conn_b', 'connectors.csv'),
  roundTripPs: positive('round_trip_ps'),
  tempC: number('temp_c', { from: -40, to: 80 }),
}

export const KIT_STOCK_COLUMNS: Columns<KitStock> = {
  part: id('part'),
  lot: id('lot'),
  receivedDate: date('received_date'),
  pieces: number('pieces', { from: 0, whole: true }),
}

export const KIT_PART_COLUMNS: Columns<KitPart> = {
  part: id('part'),
  what: text('what'),
  connector: maybe(ref('connector', 'connectors.csv')),
  pieces: count('pieces'),
}

export const TOOL_COLUMNS: Columns<Tool> = {
  tool: id('tool'),
  kind: choice('kind', ...TOOL_KINDS),
  what: maybe(text('what')),
  hexAfMm: maybe(positive('hex_af_mm')),
  connection: maybe(id('interface')),
  settingMinNm: maybe(positive('setting_min_nm')),
  settingMaxNm: maybe(positive('setting_max_nm')),
  calibrationDueDate: maybe(date('calibration_due_date')),
}

export const BENCH_TIME_COLUMNS: Columns<BenchTime> = {
  task: choice('task', ...TIMED_TASKS),
  minutes: number('minutes', { from: 0, to: 1_000 }),
  source: text('source'),
}

export type MoreBenchResult =
  | { ok: true; more: BenchRecords; notices: Notice[] }
  | { ok: false; problems: Problem[]; beyond: number }

/** Reads the optional files against a checked works; a breach refuses them all. */
export function parseMoreBench(files: ReadonlyMap<string, Uint8Array>, works: Works): MoreBenchResult {
  const problems = new ProblemList(MORE_BENCH_FILES)
  const notices: Notice[] = []
  const known = new Map([
    ['cables.csv', new Set(works.cables.map(({ cable }) => cable))],
    ['connectors.csv', new Set(works.connectors.map(({ part }) => part))],
  ])
  const table = <T>(file: MoreBenchFile, columns: Columns<T>): Table<T> | null => {
    const bytes = files.get(file)
    if (!bytes) return null
    const content = decodeText(bytes)
    if (typeof content !== 'string') {
      problems.add(file, content.row, null, content.wrong, content.right)
      return null
    }
    const read = readTable(file, readCsv(content), columns, true, problems, notices)
    checkReferences(read, columns, known, problems)
    return read
  }
  const tables: BenchTables = {
    finishedLeads: table('more/finished_leads.csv', FINISHED_LEAD_COLUMNS),
    openLeads: table('more/open_leads.csv', OPEN_LEAD_COLUMNS),
    kitStock: table('more/kit_stock.csv', KIT_STOCK_COLUMNS),
    kitParts: table('more/kit_parts.csv', KIT_PART_COLUMNS),
    tools: table('more/tools.csv', TOOL_COLUMNS),
    benchTimes: table('more/bench_times.csv', BENCH_TIME_COLUMNS),
  }
  checkBench(tables, works, problems)
  if (problems.count > 0) {
    const listed = problems.listed()
    return { ok: false, problems: listed.problems, beyond: listed.more }
  }
  // nothing is missing from a record once no problem was found
  const whole = <T>(read: Table<T> | null) => read?.rows.map((r) => r.record as T) ?? null
  return {
    ok: true,
    notices,
    more: {
      finishedLeads: whole(tables.finishedLeads),
      openLeads: whole(tables.openLeads),
      kitStock: whole(tables.kitStock),
      kitParts: whole(tables.kitParts),
      tools: whole(tables.tools),
      benchTimes: whole(tables.benchTimes),
    },
  }
}
