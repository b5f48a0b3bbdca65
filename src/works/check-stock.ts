import { UM_PER_FT, UM_PER_M } from '../quantity/length.ts'
import type { Drum } from '../strip/drum.ts'
import type { Fault } from '../strip/fault.ts'
import type { MarkSegment } from '../strip/mark-segment.ts'
import { type ProblemList, shown } from './problem-list.ts'
import type { Table, TableRow } from './read-table.ts'

/** Checks of drums, marks and faults against each other (works folder contract, “Checks across files”). */

const TILE_SLACK_UM = 500_000
const TARE_SLACK_KG = 0.5

export function checkDrums(drums: Table<Drum>, today: string | null, problems: ProblemList): void {
  for (const { row, record } of drums.rows) {
    const { receivedDate, grossKg, tareKg } = record
    if (receivedDate !== undefined && today !== null && receivedDate > today)
      problems.add(
        drums.file,
        row,
        'received_date',
        `${receivedDate} lies after the planning day ${today}`,
        `a date up to ${today}`,
      )
    if (grossKg !== undefined && tareKg !== undefined && grossKg < tareKg - TARE_SLACK_KG - 1e-9)
      problems.add(
        drums.file,
        row,
        'gross_kg',
        `${grossKg} kg is less than the tare of ${tareKg} kg`,
        `at least the tare less ${TARE_SLACK_KG} kg`,
      )
  }
}

type MarkRow = TableRow<MarkSegment>

/** The rows of marks.csv of one drum. */
export interface DrumMarks {
  rows: MarkRow[]
  bySegment: Map<number, MarkRow>
  /** False where a row does not say which segment it is. */
  whole: boolean
}

function marksByDrum(marks: Table<MarkSegment>): { byDrum: Map<string, DrumMarks>; whole: boolean } {
  const byDrum = new Map<string, DrumMarks>()
  let whole = marks.whole
  for (const row of marks.rows) {
    const { drum, segment } = row.record
    if (drum === undefined) {
      whole = false
      continue
    }
    const found: DrumMarks = byDrum.get(drum) ?? { rows: [], bySegment: new Map(), whole: true }
    if (found.rows.length === 0) byDrum.set(drum, found)
    found.rows.push(row)
    if (segment === undefined) found.whole = false
    else if (!found.bySegment.has(segment)) found.bySegment.set(segment, row)
  }
  return { byDrum, whole }
}

export function checkMarks(
  drums: Table<Drum>,
  marks: Table<MarkSegment>,
  problems: ProblemList,
): Map<string, DrumMarks> {
  for (const row of marks.rows) checkMarkRow(marks.file, row, problems)
  const { byDrum, whole } = marksByDrum(marks)
  const done = new Set<string>()
  for (const { row, record } of drums.rows) {
    if (record.drum === undefined || done.has(record.drum)) continue
    done.add(record.drum)
    const found = byDrum.get(record.drum)
    if (found) checkTiling(marks.file, found.rows, record.bookUm, problems)
    else if (whole)
      problems.add(
        marks.file,
        null,
        'drum',
        `drum ${shown(record.drum)} (row ${row} of drums.csv) has no row`,
        'at least one row for each drum',
      )
  }
  return byDrum
}

function checkMarkRow(file: string, { row, record }: MarkRow, problems: ProblemList): void {
  const { fromUm, toUm, printUnit } = record
  const long = fromUm === undefined || toUm === undefined ? undefined : toUm - fromUm
  if (long !== undefined && long <= 0)
    problems.add(
      file,
      row,
      'to_m',
      `${metresText(toUm!)} is not beyond from_m ${metresText(fromUm!)}`,
      'to_m greater than from_m',
    )
  if (printUnit === undefined) return
  for (const [name, mark] of [
    ['mark_from', record.markFrom],
    ['mark_to', record.markTo],
  ] as const) {
    if (mark === undefined) continue
    if (printUnit === 'none' && mark !== null)
      problems.add(file, row, name, `is ${mark} where print_unit is none`, 'an empty cell')
    if (printUnit !== 'none' && mark === null)
      problems.add(file, row, name, `is empty where print_unit is ${printUnit}`, 'the printed mark')
  }
  const { markFrom, markTo } = record
  if (printUnit === 'none' || typeof markFrom !== 'number' || typeof markTo !== 'number') return
  if (long === undefined || long <= 0) return
  const share = (Math.abs(markTo - markFrom) * (printUnit === 'ft' ? UM_PER_FT : UM_PER_M)) / long
  if (share < 0.9 - 1e-9 || share > 1.1 + 1e-9)
    problems.add(
      file,
      row,
      'print_unit',
      `the print spans ${Math.abs(markTo - markFrom)} ${printUnit} over ${metresText(long)} m`,
      'a printed span within 0.9 to 1.1 of the length (else the unit is wrong)',
    )
}

const metresText = (um: number) => String(um / UM_PER_M)

/** Segments 1, 2, … from the outer end cover the book length without gap or overlap. */
function checkTiling(file: string, rows: MarkRow[], bookUm: number | undefined, problems: ProblemList): void {
  const sorted = [...rows].sort((a, b) => (a.record.segment ?? 0) - (b.record.segment ?? 0))
  let endUm = 0
  for (const [i, { row, record }] of sorted.entries()) {
    const { segment, fromUm, toUm } = record
    if (segment === undefined || fromUm === undefined || toUm === undefined) return
    if (i > 0 && segment === sorted[i - 1]!.record.segment) return
    if (segment !== i + 1) {
      problems.add(
        file,
        row,
        'segment',
        `is ${segment} where ${i + 1} is next from the outer end`,
        '1, 2, … from the outer end',
      )
      return
    }
    if (Math.abs(fromUm - endUm) > TILE_SLACK_UM) {
      const what = fromUm > endUm ? 'leaves a gap' : 'overlaps'
      problems.add(
        file,
        row,
        'from_m',
        `begins at ${metresText(fromUm)} m and ${what}`,
        `${metresText(endUm)}, give or take 0.5 m`,
      )
    }
    if (toUm <= fromUm) return
    endUm = toUm
  }
  const last = sorted.at(-1)
  if (bookUm !== undefined && last && Math.abs(endUm - bookUm) > TILE_SLACK_UM)
    problems.add(
      file,
      last.row,
      'to_m',
      `the last segment ends at ${metresText(endUm)} m, the drum at ${metresText(bookUm)} m`,
      'the book length, give or take 0.5 m',
    )
}

export function checkFaults(
  faults: Table<Fault>,
  byDrum: Map<string, DrumMarks>,
  marksWhole: boolean,
  problems: ProblemList,
): void {
  for (const { row, record } of faults.rows) {
    const { drum, segment } = record
    if (drum === undefined || segment === undefined) continue
    const marks = byDrum.get(drum)
    const found = marks?.bySegment.get(segment)
    if (found) checkFaultMarks(faults.file, row, record, found.record, problems)
    else if (marksWhole && marks?.whole)
      problems.add(
        faults.file,
        row,
        'segment',
        `drum ${shown(drum)} has no segment ${segment} in marks.csv`,
        'a segment of that drum',
      )
  }
}

function checkFaultMarks(
  file: string,
  row: number,
  fault: Partial<Fault>,
  segment: Partial<MarkSegment>,
  problems: ProblemList,
): void {
  if (segment.printUnit === 'none') {
    problems.add(
      file,
      row,
      'segment',
      `segment ${fault.segment} has no print to read a mark from`,
      'a segment with a print',
    )
    return
  }
  const { markFrom, markTo, printUnit } = segment
  if (printUnit === undefined || typeof markFrom !== 'number' || typeof markTo !== 'number') return
  const slack = printUnit === 'ft' ? 2.5 : 0.6
  const low = Math.min(markFrom, markTo)
  const high = Math.max(markFrom, markTo)
  for (const [name, mark] of [
    ['mark_from', fault.markFrom],
    ['mark_to', fault.markTo],
  ] as const)
    if (mark !== undefined && (mark < low - slack - 1e-9 || mark > high + slack + 1e-9))
      problems.add(
        file,
        row,
        name,
        `mark ${mark} lies outside segment ${fault.segment}`,
        `${low} to ${high} ${printUnit}, give or take ${slack}`,
      )
}
