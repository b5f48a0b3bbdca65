import { checkBenches, checkLines, checkPrices, idsOf, keysOf } from './check-json.ts'
import { checkOrders } from './check-orders.ts'
import { checkAttenuation, checkCables, checkConnectorRows, checkPutups, checkRun } from './check-records.ts'
import { checkDrums, checkFaults, checkMarks } from './check-stock.ts'
import { isRealDate } from './column.ts'
import { checkReferences, idsInList, joined, type KnownIds, uniqueRows } from './known-ids.ts'
import type { Notice } from './problem.ts'
import type { ProblemList } from './problem-list.ts'
import { memberOf } from './read-json-file.ts'
import { COLUMNS, type WorksTables } from './works-tables.ts'

/** Everything that must hold between the rows and files of a works folder. */
export function checkWorks(tables: WorksTables, problems: ProblemList, notices: Notice[]): void {
  const known = knownIds(tables)
  checkKeys(tables, problems)
  checkAllReferences(tables, known, problems)
  checkCables(tables.cables, problems)
  checkAttenuation(tables.attenuation, tables.cables, problems)
  checkConnectorRows(tables.connectors, problems)
  checkPutups(tables.putups, problems)
  const today = memberOf(memberOf(tables.site.raw, 'works'), 'today_date')
  checkDrums(tables.drums, typeof today === 'string' && isRealDate(today) ? today : null, problems)
  const marksOf = checkMarks(tables.drums, tables.marks, problems)
  checkFaults(tables.faults, marksOf, tables.marks.whole, problems)
  checkOrders(tables.orders, tables.connectors, known.get('cables.csv') ?? null, problems)
  checkRun(tables.lineRun, problems)
  checkLines(tables.site.raw, known, problems)
  checkBenches(tables.benchHall.raw, tables.site.raw, problems)
  checkPrices(tables.costs.raw, known.get('cables.csv') ?? null, problems, notices)
}

function knownIds(tables: WorksTables): KnownIds {
  return new Map([
    ['cables.csv', idsOf(tables.cables, 'cable')],
    ['putups.csv', idsOf(tables.putups, 'putup')],
    ['drums.csv', idsOf(tables.drums, 'drum')],
    ['connectors.csv', idsOf(tables.connectors, 'part')],
    ['lines.json', idsInList(tables.site.raw, 'lines')],
    ['benches.json', idsInList(tables.benchHall.raw, 'people')],
    ['markets.json', keysOf(tables.markets.raw)],
  ])
}

function checkKeys(t: WorksTables, problems: ProblemList): void {
  uniqueRows(t.cables, 'cable', 'cable', (r) => r.cable, problems)
  uniqueRows(t.attenuation, 'f_mhz', 'frequency of a cable', (r) => joined(r.cable, r.fMhz), problems)
  uniqueRows(t.connectors, 'part', 'part', (r) => r.part, problems)
  uniqueRows(t.putups, 'putup', 'put-up', (r) => r.putup, problems)
  uniqueRows(t.drums, 'drum', 'drum', (r) => r.drum, problems)
  uniqueRows(t.marks, 'segment', 'segment of a drum', (r) => joined(r.drum, r.segment), problems)
  uniqueRows(t.faults, 'fault', 'fault', (r) => r.fault, problems)
  uniqueRows(t.orders, 'line', 'line of an order', (r) => joined(r.order, r.line), problems)
  uniqueRows(t.leadTests, 'serial', 'serial', (r) => r.serial, problems)
  uniqueRows(t.monthLedger, 'month', 'month of a cable', (r) => joined(r.cable, r.month), problems)
}

function checkAllReferences(t: WorksTables, known: KnownIds, problems: ProblemList): void {
  checkReferences(t.attenuation, COLUMNS['attenuation.csv'], known, problems)
  checkReferences(t.connectors, COLUMNS['connectors.csv'], known, problems)
  checkReferences(t.drums, COLUMNS['drums.csv'], known, problems)
  checkReferences(t.marks, COLUMNS['marks.csv'], known, problems)
  checkReferences(t.faults, COLUMNS['faults.csv'], known, problems)
  checkReferences(t.orders, COLUMNS['orders.csv'], known, problems)
  checkReferences(t.counterChecks, COLUMNS['counter_checks.csv'], known, problems)
  checkReferences(t.leadTests, COLUMNS['lead_tests.csv'], known, problems)
  checkReferences(t.lineRun, COLUMNS['line_run.csv'], known, problems)
  checkReferences(t.monthLedger, COLUMNS['month_ledger.csv'], known, problems)
}
