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
import { idsOf } from './known-ids.ts'
import type { BenchTables } from './more-bench-tables.ts'
import { type MoreResult, MoreTables, wholeRecords } from './more-tables.ts'
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

/** Reads the optional files against a checked works; a breach refuses them all. */
export function parseMoreBench(
  files: ReadonlyMap<string, Uint8Array>,
  works: Works,
): MoreResult<BenchRecords> {
  const known = idsOf(works, 'cables.csv', 'connectors.csv')
  const more = new MoreTables(files, MORE_BENCH_FILES, known)
  const tables: BenchTables = {
    finishedLeads: more.read('more/finished_leads.csv', FINISHED_LEAD_COLUMNS),
    openLeads: more.read('more/open_leads.csv', OPEN_LEAD_COLUMNS),
    kitStock: more.read('more/kit_stock.csv', KIT_STOCK_COLUMNS),
    kitParts: more.read('more/kit_parts.csv', KIT_PART_COLUMNS),
    tools: more.read('more/tools.csv', TOOL_COLUMNS),
    benchTimes: more.read('more/bench_times.csv', BENCH_TIME_COLUMNS),
  }
  checkBench(tables, works, more.problems)
  return more.result(() => ({
    finishedLeads: wholeRecords(tables.finishedLeads),
    openLeads: wholeRecords(tables.openLeads),
    kitStock: wholeRecords(tables.kitStock),
    kitParts: wholeRecords(tables.kitParts),
    tools: wholeRecords(tables.tools),
    benchTimes: wholeRecords(tables.benchTimes),
  }))
}
