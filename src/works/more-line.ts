import type { LineWorks } from '../line/line-works.ts'
import { type LineSetting, WORKS_MAY_SET } from '../line/run-inputs.ts'
import type { SparkCheck } from '../line/spark-check.ts'
import { type LengthUm, UM_PER_M } from '../quantity/length.ts'
import type { Stretch } from '../strip/usable.ts'
import { type Columns, choice, date, lengthUm, number, positive, ref, text, yesNo } from './column.ts'
import { idsOf, joined, uniqueRows } from './known-ids.ts'
import { type MoreResult, MoreTables, wholeRecords } from './more-tables.ts'
import type { ProblemList } from './problem-list.ts'
import type { Table } from './read-table.ts'
import type { Works } from './works.ts'

/** Optional files of `more/` on the lines: what the works has set, spark tests and checks of the testers. As strict as the sixteen. */
export const MORE_LINE_FILES = [
  'more/line_settings.csv',
  'more/spark_tests.csv',
  'more/spark_checks.csv',
] as const

/** A stretch of a drum that was spark tested. A row of more/spark_tests.csv. */
interface SparkTestRow {
  drum: string
  fromUm: LengthUm
  toUm: LengthUm
  testedDate: string
  kvRms: number
}

interface SettingRow extends Omit<LineSetting, 'value'> {
  value: number
}

export const LINE_SETTING_COLUMNS: Columns<SettingRow> = {
  line: ref('line', 'lines.json'),
  input: choice('input', ...WORKS_MAY_SET),
  value: number('value', { from: 0 }),
  source: text('source'),
}

export const SPARK_TEST_COLUMNS: Columns<SparkTestRow> = {
  drum: ref('drum', 'drums.csv'),
  fromUm: lengthUm('from_m', { from: 0 }),
  toUm: lengthUm('to_m', { above: 0 }),
  testedDate: date('tested_date'),
  kvRms: positive('kv_rms'),
}

export const SPARK_CHECK_COLUMNS: Columns<SparkCheck> = {
  line: ref('line', 'lines.json'),
  at: date('check_date'),
  faultSeen: yesNo('fault_seen'),
  voltageRight: yesNo('voltage_right'),
  bondSound: yesNo('bond_sound'),
}

export type MoreLine = Pick<LineWorks, 'lineSettings' | 'sparkChecks' | 'sparkTested'>

/** Reads the optional files against a checked works; a breach refuses them all. */
export function parseMoreLine(files: ReadonlyMap<string, Uint8Array>, works: Works): MoreResult<MoreLine> {
  const known = idsOf(works, 'lines.json', 'drums.csv')
  const tables = new MoreTables(files, MORE_LINE_FILES, known)
  const settings = tables.read('more/line_settings.csv', LINE_SETTING_COLUMNS)
  const tests = tables.read('more/spark_tests.csv', SPARK_TEST_COLUMNS)
  const checks = tables.read('more/spark_checks.csv', SPARK_CHECK_COLUMNS)
  if (settings) checkSettings(settings, tables.problems)
  if (tests) checkTests(tests, works, tables.problems)
  return tables.result(() => {
    const lineSettings = wholeRecords(settings)?.map(asSetting)
    const sparkChecks = wholeRecords(checks)
    const tested = wholeRecords(tests)
    return {
      ...(lineSettings ? { lineSettings } : {}),
      ...(sparkChecks ? { sparkChecks } : {}),
      ...(tested ? { sparkTested: byDrum(tested) } : {}),
    }
  })
}

function asSetting({ value, ...setting }: SettingRow): LineSetting {
  return { ...setting, value: setting.input === 'payoffDriven' ? value === 1 : value }
}

function checkSettings(settings: Table<SettingRow>, problems: ProblemList): void {
  uniqueRows(settings, 'input', 'input of a line', ({ line, input }) => joined(line, input), problems)
  for (const { row, record } of settings.rows)
    if (record.input === 'payoffDriven' && record.value !== undefined && ![0, 1].includes(record.value))
      problems.add(
        settings.file,
        row,
        'value',
        `is ${record.value} for payoffDriven`,
        '1 for driven, 0 for not',
      )
}

function checkTests(tests: Table<SparkTestRow>, works: Works, problems: ProblemList): void {
  const books = new Map(works.drums.map((d) => [d.drum, d.bookUm]))
  for (const { row, record } of tests.rows) {
    const { drum, fromUm, toUm } = record
    if (fromUm !== undefined && toUm !== undefined && toUm <= fromUm)
      problems.add(tests.file, row, 'to_m', 'does not lie beyond from_m', 'a place further in than from_m')
    const bookUm = books.get(drum ?? '')
    if (bookUm !== undefined && toUm !== undefined && toUm > bookUm)
      problems.add(
        tests.file,
        row,
        'to_m',
        'lies beyond the drum',
        `at most its book length, ${bookUm / UM_PER_M} m`,
      )
  }
}

function byDrum(tests: SparkTestRow[]): Map<string, Stretch[]> {
  const found = new Map<string, Stretch[]>()
  for (const { drum, fromUm, toUm } of tests) found.set(drum, [...(found.get(drum) ?? []), { fromUm, toUm }])
  return found
}
