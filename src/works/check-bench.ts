import type { CutRecord } from '../lead/cut-record.ts'
import type { Tool } from '../lead/tool.ts'
import { joined, uniqueRows } from './known-ids.ts'
import type { BenchTables } from './more-bench-tables.ts'
import type { ProblemList } from './problem-list.ts'
import type { Table } from './read-table.ts'
import type { Works } from './works.ts'

/** What the rows of the bench's files must keep beyond their columns. */
export function checkBench(tables: BenchTables, works: Works, problems: ProblemList): void {
  const { finishedLeads, openLeads, kitStock, kitParts, tools, benchTimes } = tables
  if (finishedLeads) {
    uniqueRows(finishedLeads, 'serial', 'serial', ({ serial }) => serial, problems)
    checkFits(finishedLeads, works, problems)
    checkLengths(finishedLeads, problems)
  }
  if (openLeads) {
    uniqueRows(openLeads, 'serial', 'serial', ({ serial }) => serial, problems)
    checkFits(openLeads, works, problems)
    const tested = new Set(works.leadTests.map(({ serial }) => serial))
    for (const { row, record } of openLeads.rows)
      if (tested.has(record.serial ?? ''))
        problems.add(
          openLeads.file,
          row,
          'serial',
          'is a finished lead in lead_tests.csv',
          'a lead with an open end',
        )
  }
  if (kitStock) uniqueRows(kitStock, 'lot', 'lot of a part', ({ part, lot }) => joined(part, lot), problems)
  if (kitParts)
    uniqueRows(
      kitParts,
      'part',
      'part of a connector',
      ({ part, connector }) => joined(part, connector ?? '-'),
      problems,
    )
  if (tools) {
    uniqueRows(tools, 'tool', 'tool', ({ tool }) => tool, problems)
    checkTools(tools, problems)
  }
  if (benchTimes) uniqueRows(benchTimes, 'task', 'task', ({ task }) => task, problems)
}

/** Each connector part fits one cable type. */
function checkFits(
  table: Table<{ cable: string; connA: string; connB: string }>,
  works: Works,
  problems: ProblemList,
): void {
  const fits = new Map(works.connectors.map(({ part, cable }) => [part, cable]))
  for (const { row, record } of table.rows)
    for (const [part, column] of [
      [record.connA, 'conn_a'],
      [record.connB, 'conn_b'],
    ] as const) {
      const cable = fits.get(part ?? '')
      if (cable !== undefined && record.cable !== undefined && cable !== record.cable)
        problems.add(
          table.file,
          row,
          column,
          `fits ${cable}, not ${record.cable}`,
          `a part for ${record.cable}`,
        )
    }
}

/** What two connectors add, beyond which a length is a mistake of writing, µm. */
const MOST_ADDED_UM = 100_000

function checkLengths(table: Table<CutRecord>, problems: ProblemList): void {
  for (const { row, record } of table.rows) {
    const { cutUm, lengthUm } = record
    if (cutUm !== undefined && lengthUm !== undefined && Math.abs(lengthUm - cutUm) > MOST_ADDED_UM)
      problems.add(
        table.file,
        row,
        'length_m',
        'is more than 100 mm from cut_m',
        'the length tip to tip of the same lead, m',
      )
  }
}

function checkTools(tools: Table<Tool>, problems: ProblemList): void {
  for (const { row, record } of tools.rows) {
    const { kind, hexAfMm, connection, settingMinNm, settingMaxNm } = record
    const needs = (column: string, what: string) =>
      problems.add(tools.file, row, column, `is empty for a ${kind}`, what)
    if (kind === 'die' && hexAfMm === null) needs('hex_af_mm', 'the hexagon across flats, mm')
    if (kind === 'wrench' && connection === null) needs('interface', 'the connector interface that it fits')
    if (kind === 'wrench' && settingMinNm === null) needs('setting_min_nm', 'the lowest setting, N m')
    if (kind === 'wrench' && settingMaxNm === null) needs('setting_max_nm', 'the highest setting, N m')
    if (typeof settingMinNm === 'number' && typeof settingMaxNm === 'number' && settingMaxNm < settingMinNm)
      problems.add(tools.file, row, 'setting_max_nm', 'is below setting_min_nm', 'at least setting_min_nm')
  }
}
