import type { LineWorks } from '../line/line-works.ts'
import { type LineSetting, WORKS_MAY_SET } from '../line/run-inputs.ts'
import type { SparkCheck } from '../line/spark-check.ts'
import { type LengthUm, UM_PER_M } from '../quantity/length.ts'
import type { Stretch } from '../strip/usable.ts'
import { type Columns, choice, date, lengthUm, number, positive, ref, text, yesNo } from './column.ts'
import { readCsv } from './csv-text.ts'
import { decodeText } from './decode-text.ts'
import { checkReferences, joined, uniqueRows } from './known-ids.ts'
import type { Notice, Problem } from './problem.ts'
import { ProblemList } from './problem-list.ts'
import { readTable, type Table } from './read-table.ts'
import type { Works } from './works.ts'

/** Optional files of `more/` on the lines: what the works has set, spark tests and checks of the testers. As strict as the sixteen. */
export const MORE_LINE_FILES = [
  'more/line_settings.csv',
  'more/spark_tests.csv',
  'more/spark_checks.csv',
] as const

type MoreLineFile = (typeof MORE_LINE_FILES)[number]

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

export type MoreLineResult =
  | { ok: true; more: MoreLine; notices: Notice[] }
  | { ok: false; problems: Problem[]; beyond: number }

/** Reads the optional files against a checked works; a breach refuses them all. */
export function parseMoreLine(files: ReadonlyMap<string, Uint8Array>, works: Works): MoreLineResult {
  const problems = new ProblemList(MORE_LINE_FILES)
  const notices: Notice[] = []
  const known = new Map([
    ['lines.json', new Set(works.site.lines.map(({ id }) => id))],
    ['drums.csv', new Set(works.drums.map(({ drum }) => drum))],
  ])
  const table = <T>(file: MoreLineFile, columns: Columns<T>): Table<T> | null => {
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
  const settings = table('more/line_settings.csv', LINE_SETTING_COLUMNS)
  const tests = table('more/spark_tests.csv', SPARK_TEST_COLUMNS)
  const checks = table('more/spark_checks.csv', SPARK_CHECK_COLUMNS)
  if (settings) checkSettings(settings, problems)
  if (tests) checkTests(tests, works, problems)
  if (problems.count > 0) {
    const listed = problems.listed()
    return { ok: false, problems: listed.problems, beyond: listed.more }
  }
  // nothing is missing from a record once no problem was found
  const whole = <T>(read: Table<T>) => read.rows.map((r) => r.record as T)
  return {
    ok: true,
    notices,
    more: {
      ...(settings ? { lineSettings: whole(settings).map(asSetting) } : {}),
      ...(checks ? { sparkChecks: whole(checks) } : {}),
      ...(tests ? { sparkTested: byDrum(whole(tests)) } : {}),
    },
  }
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
