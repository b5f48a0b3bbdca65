import type { CounterCheck } from '../measure/counter-check.ts'
import { counterCorrection } from '../measure/counter-correction.ts'
import { counterReadings } from '../measure/counter-reading.ts'
import { figureText } from '../quantity/length-text.ts'
import type { ChecksPreview } from './api.ts'
import { type CsvText, readCsv } from './csv-text.ts'
import { decodeText } from './decode-text.ts'
import { parseWorks } from './parse-works.ts'
import { csvLine } from './preview-orders.ts'
import type { Problem } from './problem.ts'
import { ProblemList, shown } from './problem-list.ts'
import { COUNTER_CHECK_COLUMNS } from './records-csv.ts'
import { PASTED } from './table.ts'
import type { Works } from './works.ts'

const CHECKS = 'counter_checks.csv'
const NAMES = Object.values(COUNTER_CHECK_COLUMNS).map(({ name }) => name)
const FIGURES = new Set(['counter_m', 'tape_m', 'temp_c', 'tension_n', 'speed_m_min'])

export interface PreviewedChecks {
  preview: Omit<ChecksPreview, 'token'>
  /** counter_checks.csv as it would be stored; null where anything is wrong or nothing is new. */
  checksCsv: Uint8Array | null
}

/** Tape checks that were typed, pasted or dropped, against the works they are for. Nothing is stored here. */
export function previewChecks(
  works: Works,
  files: ReadonlyMap<string, Uint8Array>,
  content: string,
): PreviewedChecks {
  const problems = new ProblemList([PASTED])
  const text = content.replace(/^\uFEFF/, '').replace(/\r(?!\n)/g, '\n')
  const source = sourceOf(text)
  const csv = readCsv(text, { tab: '\t', semicolon: ';', comma: ',' }[source])
  const rows = rowsOf(csv, source === 'comma' ? '.' : decimalMark(csv), problems)
  const understood = {
    source,
    decimalMark: source === 'comma' ? ('.' as const) : decimalMark(csv),
    rows: rows.length,
  }
  const before = decodeText(files.get(CHECKS) ?? new Uint8Array())
  const stored = readCsv(typeof before === 'string' ? before : '')
  const { table, added } = withAdded(stored, rows)
  const refused = problems.listed()
  const seen = rows.length - added.length
  const notes =
    seen > 0 ? [`${seen} of them ${seen === 1 ? 'is' : 'are'} recorded already and not stored twice.`] : []
  const answer = (more: typeof refused, said: string[]) => ({ understood, rows, ...more, notes: said })
  if (refused.problems.length > 0 || added.length === 0)
    return { preview: answer(refused, notes), checksCsv: null }
  const checksCsv = new TextEncoder().encode(table.map(csvLine).join(''))
  const result = parseWorks(works.folder, new Map(files).set(CHECKS, checksCsv))
  if (!result.ok)
    return {
      preview: answer({ ...result, problems: result.problems.map(onPasted(added)) }, notes),
      checksCsv: null,
    }
  const said = whatFollows(works, result.works.counterChecks)
  return { preview: answer(refused, [...notes, ...said]), checksCsv }
}

function sourceOf(text: string): ChecksPreview['understood']['source'] {
  const first = text.split('\n', 50).find((line) => line.trim() !== '') ?? ''
  return first.includes('\t') ? 'tab' : first.includes(';') ? 'semicolon' : 'comma'
}

/** A comma is the decimal mark only where some figure with one can be nothing else. */
function decimalMark(csv: CsvText): '.' | ',' {
  const figures = csv.rows.flatMap(({ cells }) => cells)
  const sure = figures.some((cell) => /^[+-]?(0|\d{4,}),\d+$|^[+-]?\d+,(\d{1,2}|\d{4,})$/.test(cell.trim()))
  return sure ? ',' : '.'
}

function rowsOf(csv: CsvText, mark: '.' | ',', problems: ProblemList): Record<string, string>[] {
  const header = csv.header?.cells.map((cell) => cell.trim().toLowerCase()) ?? []
  if (csv.broken) problems.add(PASTED, csv.broken.row, null, csv.broken.wrong, csv.broken.right)
  if (header.length === 0) {
    problems.add(PASTED, null, null, 'there is nothing in it', `a header row with ${NAMES.join(', ')}`)
    return []
  }
  const places = new Map(NAMES.map((name) => [name, header.indexOf(name)]))
  for (const [name, at] of places)
    if (at < 0) problems.add(PASTED, 1, name, 'the column is missing', `a column named ${name}`)
  if (problems.count > 0) return []
  return csv.rows.map(({ cells }, i) =>
    Object.fromEntries(
      NAMES.map((name) => {
        const cell = (cells[places.get(name)!] ?? '').trim()
        if (!FIGURES.has(name) || !cell.includes(',')) return [name, cell]
        if (mark === ',' && /^[+-]?\d+,\d+$/.test(cell)) return [name, cell.replace(',', '.')]
        const wrong = `${shown(cell)} may be a thousand or a decimal figure`
        problems.add(PASTED, i + 2, name, wrong, 'digits with a decimal point')
        return [name, cell]
      }),
    ),
  )
}

/** The stored table with the new rows below, each with its row among those that were given. */
function withAdded(stored: CsvText, rows: Record<string, string>[]) {
  const header = stored.header?.cells ?? NAMES
  const table = [header, ...stored.rows.map(({ cells }) => cells)]
  const known = new Set(
    stored.rows.map(({ cells }) => sameKey(NAMES.map((n) => cells[header.indexOf(n)] ?? ''))),
  )
  const added: { row: number; from: number }[] = []
  for (const [i, row] of rows.entries()) {
    if (known.has(sameKey(NAMES.map((name) => row[name] ?? '')))) continue
    added.push({ row: table.push(header.map((name) => row[name] ?? '')), from: i + 2 })
  }
  return { table, added }
}

/** 20.0 and 20 are the same figure. */
function sameKey(cells: string[]): string {
  return JSON.stringify(cells.map((c, i) => (FIGURES.has(NAMES[i]!) && c !== '' ? Number(c) : c)))
}

function onPasted(added: { row: number; from: number }[]): (problem: Problem) => Problem {
  const from = new Map(added.map(({ row, from: given }) => [row, given]))
  return (problem) => {
    const row = problem.file === CHECKS && problem.row !== null ? from.get(problem.row) : undefined
    return row === undefined ? problem : { ...problem, file: PASTED, row }
  }
}

/** Checks that will not count, and what becomes of the correction of each line. */
function whatFollows(before: Works, after: CounterCheck[]): string[] {
  const percent = (ratio: number) => `${figureText(ratio * 100, 4)} %`
  return before.site.lines.flatMap(({ id }) => {
    const old = new Set(counterReadings(id, before.counterChecks).setAside.map(({ why }) => why))
    const aside = counterReadings(id, after).setAside.filter(({ why }) => !old.has(why))
    const was = counterCorrection(id, before.counterChecks)
    const is = counterCorrection(id, after)
    const same = (was?.errorRatio ?? null) === (is?.errorRatio ?? null)
    const becomes =
      same || is === null
        ? []
        : [
            `${id}: the correction in force, ${was ? percent(was.errorRatio) : 'not known'}, becomes ${percent(is.errorRatio)} (mean of the last ${is.checks} checks).`,
          ]
    return [
      ...aside.map(({ check, why }) => `${id}, check of ${check.date}: stored but set aside, ${why}.`),
      ...becomes,
    ]
  })
}
