import type { FinishedPiece } from '../ledger/finished-piece.ts'
import { LOT_QUANTITIES, LOT_QUANTITY_NAMES, type LotTest } from '../ledger/lot-test.ts'
import type { MinimumLevel } from '../ledger/minimum-levels.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { needUmFromTyped } from '../quantity/length.ts'
import {
  type Columns,
  choice,
  count,
  date,
  id,
  lengthUm,
  maybe,
  maybeText,
  number,
  positive,
  ref,
  typedLength,
} from './column.ts'
import { idsOf, joined, uniqueRows } from './known-ids.ts'
import { type MoreResult, MoreTables, wholeRecords } from './more-tables.ts'
import type { ProblemList } from './problem-list.ts'
import type { Table } from './read-table.ts'
import { MAX_LENGTH_M, MAX_QTY } from './works-files.ts'

/** Optional files of `more/` on stock: tests of lots, the finished shelf as it was, and its minimum levels. As strict as the sixteen. */
export const MORE_STOCK_FILES = [
  'more/lot_tests.csv',
  'more/finished_pieces.csv',
  'more/minimum_levels.csv',
] as const

type PieceRow = Omit<FinishedPiece, 'declaredUm'>
type LevelRow = Omit<MinimumLevel, 'lengthUm'>

export const LOT_TEST_COLUMNS: Columns<LotTest> = {
  lot: id('lot'),
  cable: ref('cable', 'cables.csv'),
  testedDate: date('tested_date'),
  quantity: choice('quantity', ...LOT_QUANTITY_NAMES),
  fMhz: maybe(positive('f_mhz')),
  value: number('value', { above: 0 }),
  instrument: maybe(id('instrument')),
}

export const FINISHED_PIECE_COLUMNS: Columns<PieceRow> = {
  serial: id('serial'),
  cable: ref('cable', 'cables.csv'),
  lot: id('lot'),
  putup: ref('putup', 'putups.csv'),
  lengthTyped: typedLength('length'),
  unit: choice('unit', 'm', 'ft'),
  measuredUm: maybe(lengthUm('measured_m', { above: 0 })),
  madeDate: date('made_date'),
  place: maybeText('location'),
}

export const MINIMUM_LEVEL_COLUMNS: Columns<LevelRow> = {
  cable: ref('cable', 'cables.csv'),
  putup: ref('putup', 'putups.csv'),
  lengthTyped: typedLength('length'),
  unit: choice('unit', 'm', 'ft'),
  least: count('least', MAX_QTY),
}

/** What stands in `more/` of stock; null for a file that is not there: not recorded. */
export interface MoreStock {
  lotTests: LotTest[] | null
  finishedPieces: FinishedPiece[] | null
  minimumLevels: MinimumLevel[] | null
}

/** Reads the optional files against a checked works; a breach refuses them all. */
export function parseMoreStock(
  files: ReadonlyMap<string, Uint8Array>,
  works: PlanInput,
): MoreResult<MoreStock> {
  const known = idsOf(works, 'cables.csv', 'putups.csv')
  const tables = new MoreTables(files, MORE_STOCK_FILES, known)
  const tests = tables.read('more/lot_tests.csv', LOT_TEST_COLUMNS)
  const pieces = tables.read('more/finished_pieces.csv', FINISHED_PIECE_COLUMNS)
  const levels = tables.read('more/minimum_levels.csv', MINIMUM_LEVEL_COLUMNS)
  if (tests) checkTests(tests, works, tables.problems)
  if (pieces) checkPieces(pieces, works, tables.problems)
  if (levels) {
    checkLengths(levels, tables.problems)
    const keyOf = (l: Partial<LevelRow>) => joined(l.cable, l.putup, l.lengthTyped, l.unit)
    uniqueRows(levels, 'length', 'kind of piece', keyOf, tables.problems)
  }
  return tables.result(() => ({
    lotTests: wholeRecords(tests),
    finishedPieces:
      wholeRecords(pieces)?.map((p) => ({ ...p, declaredUm: needUmFromTyped(p.lengthTyped, p.unit) })) ??
      null,
    minimumLevels:
      wholeRecords(levels)?.map((l) => ({ ...l, lengthUm: needUmFromTyped(l.lengthTyped, l.unit) })) ?? null,
  }))
}

function checkTests(table: Table<LotTest>, works: PlanInput, problems: ProblemList): void {
  const keyOf = ({ lot, quantity, fMhz, testedDate }: Partial<LotTest>) =>
    fMhz === undefined ? undefined : joined(lot, testedDate, quantity, fMhz ?? '-')
  uniqueRows(table, 'quantity', 'figure of a lot on a day', keyOf, problems)
  const fMax = new Map(works.cables.map((c) => [c.cable, c.fMaxMhz]))
  const cableOf = new Map<string, string>()
  for (const { row, record } of table.rows) {
    const { lot, cable, quantity, fMhz } = record
    if (quantity !== undefined && fMhz !== undefined) {
      const byFrequency = LOT_QUANTITIES[quantity].byFrequency
      if (byFrequency !== (fMhz !== null))
        problems.add(
          table.file,
          row,
          'f_mhz',
          byFrequency ? `is empty for ${quantity}` : `is given for ${quantity}`,
          byFrequency ? 'the frequency, MHz' : 'empty: it does not depend on the frequency',
        )
    }
    const most = fMax.get(cable ?? '')
    if (fMhz != null && most !== undefined && fMhz > most)
      problems.add(table.file, row, 'f_mhz', `is above f_max_mhz of ${cable}`, `at most ${most}`)
    if (lot === undefined || cable === undefined) continue
    const first = cableOf.get(lot) ?? cable
    cableOf.set(lot, first)
    if (first !== cable) problems.add(table.file, row, 'cable', `is not the cable of lot ${lot}`, first)
  }
}

function checkPieces(table: Table<PieceRow>, works: PlanInput, problems: ProblemList): void {
  uniqueRows(table, 'serial', 'serial', (p) => p.serial, problems)
  checkLengths(table, problems)
  const drums = new Set(works.drums.map((d) => d.drum))
  for (const { row, record } of table.rows) {
    const { serial, lengthTyped, unit, measuredUm, madeDate } = record
    if (serial !== undefined && drums.has(serial))
      problems.add(table.file, row, 'serial', 'is a drum of drums.csv', 'a number of its own')
    if (madeDate !== undefined && madeDate > works.site.works.todayDate)
      problems.add(
        table.file,
        row,
        'made_date',
        'is after today_date',
        `at most ${works.site.works.todayDate}`,
      )
    if (lengthTyped === undefined || unit === undefined || measuredUm == null) continue
    if (measuredUm < needUmFromTyped(lengthTyped, unit))
      problems.add(table.file, row, 'measured_m', 'is less than the declared length', 'at least that length')
  }
}

/** The bound of a length goes with its unit. */
function checkLengths(table: Table<{ lengthTyped: string; unit: 'm' | 'ft' }>, problems: ProblemList): void {
  for (const { row, record } of table.rows) {
    const { lengthTyped, unit } = record
    if (lengthTyped === undefined || unit === undefined) continue
    if (needUmFromTyped(lengthTyped, unit) > MAX_LENGTH_M * 1e6)
      problems.add(table.file, row, 'length', `is ${lengthTyped} ${unit}`, `at most ${MAX_LENGTH_M} m`)
  }
}
