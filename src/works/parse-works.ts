import type { OrderLine } from '../order/order-line.ts'
import { needUmFromTyped } from '../quantity/length.ts'
import { checkWorks } from './check-works.ts'
import { benchHallFrom, costsFrom, marketsFrom } from './hall-json.ts'
import { worksNotices } from './notices.ts'
import type { OrderRow } from './orders-csv.ts'
import type { Notice, Problem } from './problem.ts'
import { ProblemList } from './problem-list.ts'
import type { Table } from './read-table.ts'
import { siteFrom } from './site-json.ts'
import type { Works } from './works.ts'
import { WORKS_FILES } from './works-files.ts'
import { readTables, type WorksTables } from './works-tables.ts'

/** A works, or why there is none: all problems at once, the first 1 000 listed and `more` beyond those. */
export type WorksResult =
  | { ok: true; works: Works; notices: Notice[] }
  | { ok: false; problems: Problem[]; more: number }

/**
 * The one way into the product: the files of a works folder by name → a checked, frozen works, or every breach.
 * `folder` is the folder's own name, without its path.
 */
export function parseWorks(folder: string, files: ReadonlyMap<string, Uint8Array>): WorksResult {
  const problems = new ProblemList(WORKS_FILES)
  const notices: Notice[] = []
  const tables = readTables(files, problems, notices)
  checkWorks(tables, problems, notices)
  const site = tables.site.value
  const benchHall = tables.benchHall.value
  const markets = tables.markets.value
  const costs = tables.costs.value
  if (problems.count > 0 || !site || !benchHall || !markets || !costs)
    return { ok: false, ...problems.listed() }
  const works: Works = {
    folder,
    site: siteFrom(site),
    benchHall: benchHallFrom(benchHall),
    markets: marketsFrom(markets),
    costs: costsFrom(costs),
    ...recordsOf(tables),
  }
  notices.push(...worksNotices(works, { drums: rowsOf(tables.drums), orders: rowsOf(tables.orders) }))
  return { ok: true, works: Object.freeze(works), notices }
}

/** No problem was found, so every record is complete. */
function recordsOf(tables: WorksTables) {
  return {
    cables: records(tables.cables),
    attenuation: records(tables.attenuation),
    connectors: records(tables.connectors),
    putups: records(tables.putups),
    drums: records(tables.drums),
    marks: records(tables.marks),
    faults: records(tables.faults),
    orders: records<OrderRow>(tables.orders).map(orderLine),
    counterChecks: records(tables.counterChecks),
    leadTests: records(tables.leadTests),
    lineRun: records(tables.lineRun),
    monthLedger: records(tables.monthLedger),
  }
}

function rowsOf<T>(table: Table<T>): number[] {
  return table.rows.map(({ row }) => row)
}

function records<T>(table: Table<T>): T[] {
  return table.rows.map(({ record }) => Object.freeze(record) as T)
}

function orderLine(row: OrderRow): OrderLine {
  return Object.freeze({ ...row, lengthUm: needUmFromTyped(row.lengthTyped, row.unit) })
}
