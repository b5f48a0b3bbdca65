import type { CounterSeal } from '../measure/counter-seal.ts'
import type { CutRecord } from '../measure/look-back.ts'
import type { LengthUm } from '../quantity/length.ts'
import { type Columns, count, date, id, lengthUm, maybe, number, positive, ref } from './column.ts'
import { readCsv } from './csv-text.ts'
import { decodeText } from './decode-text.ts'
import type { Notice, Problem } from './problem.ts'
import { ProblemList, shown } from './problem-list.ts'
import { readTable, type Table } from './read-table.ts'
import type { Works } from './works.ts'

/** Optional records of the folder `more/` on lengths: cuts made, seals of counters, further witnesses. As strict as the sixteen. */
export const MORE_FILES = ['more/cuts.csv', 'more/counters.csv', 'more/length_witnesses.csv'] as const

export type MoreFile = (typeof MORE_FILES)[number]

/** A counter that is verified and sealed for trade. A row of more/counters.csv. */
interface SealRow extends CounterSeal {
  line: string
}

/** Further measurements of a drum's length. A row of more/length_witnesses.csv; null where the cell is empty. */
export interface LengthWitnessRow {
  drum: string
  measuredDate: string
  /** By a rewinding line's counter, corrected for its error, and how sure. */
  counterUm: LengthUm | null
  counterUncUm: LengthUm | null
  loopOhm: number | null
  loopUncOhm: number | null
  tempC: number | null
  roundTripNs: number | null
  roundTripUncNs: number | null
  takeupTurns: number | null
}

export const CUT_COLUMNS: Columns<CutRecord> = {
  id: id('serial'),
  line: ref('line', 'lines.json'),
  cable: ref('cable', 'cables.csv'),
  cutAt: date('cut_date'),
  declaredUm: lengthUm('declared_m', { above: 0 }),
  counterUm: lengthUm('counter_m', { above: 0 }),
}

export const SEAL_COLUMNS: Columns<SealRow> = {
  line: ref('line', 'lines.json'),
  verifiedDate: maybe(date('verified_date')),
  verificationDueDate: maybe(date('verification_due_date')),
}

export const LENGTH_WITNESS_COLUMNS: Columns<LengthWitnessRow> = {
  drum: ref('drum', 'drums.csv'),
  measuredDate: date('measured_date'),
  counterUm: maybe(lengthUm('counter_m', { above: 0 })),
  counterUncUm: maybe(lengthUm('counter_unc_m', { above: 0 })),
  loopOhm: maybe(positive('loop_ohm')),
  loopUncOhm: maybe(positive('loop_unc_ohm')),
  tempC: maybe(number('temp_c', { from: -40, to: 80 })),
  roundTripNs: maybe(positive('round_trip_ns')),
  roundTripUncNs: maybe(positive('round_trip_unc_ns')),
  takeupTurns: maybe(count('takeup_turns')),
}

/** What stands in `more/`; null for a file that is not there: not recorded. */
export interface MoreRecords {
  cuts: CutRecord[] | null
  seals: SealRow[] | null
  lengthWitnesses: LengthWitnessRow[] | null
}

export type MoreResult =
  | { ok: true; more: MoreRecords; notices: Notice[] }
  | { ok: false; problems: Problem[]; beyond: number }

/** Reads the optional records against a checked works; a breach refuses them all, as in the sixteen. */
export function parseMoreRecords(files: ReadonlyMap<string, Uint8Array>, works: Works): MoreResult {
  const problems = new ProblemList(MORE_FILES)
  const notices: Notice[] = []
  const table = <T>(file: MoreFile, columns: Columns<T>): Table<T> | null => {
    const bytes = files.get(file)
    if (!bytes) return null
    const text = decodeText(bytes)
    if (typeof text !== 'string') {
      problems.add(file, text.row, null, text.wrong, text.right)
      return null
    }
    const read = readTable(file, readCsv(text), columns, true, problems, notices)
    checkReferences(read, columns, works, problems)
    return read
  }
  const cuts = table('more/cuts.csv', CUT_COLUMNS)
  const seals = table('more/counters.csv', SEAL_COLUMNS)
  const witnesses = table('more/length_witnesses.csv', LENGTH_WITNESS_COLUMNS)
  if (cuts) checkUnique(cuts, 'id', 'serial', problems)
  if (seals) checkUnique(seals, 'line', 'line', problems)
  if (witnesses) checkPairs(witnesses, problems)
  if (problems.count > 0) {
    const listed = problems.listed()
    return { ok: false, problems: listed.problems, beyond: listed.more }
  }
  // nothing is missing from a record once no problem was found
  const whole = <T>(read: Table<T> | null) => read?.rows.map((r) => r.record as T) ?? null
  return {
    ok: true,
    more: { cuts: whole(cuts), seals: whole(seals), lengthWitnesses: whole(witnesses) },
    notices,
  }
}

function checkReferences<T>(table: Table<T>, columns: Columns<T>, works: Works, problems: ProblemList): void {
  const ids: Record<string, ReadonlySet<string>> = {
    'lines.json': new Set(works.site.lines.map((l) => l.id)),
    'cables.csv': new Set(works.cables.map((c) => c.cable)),
    'drums.csv': new Set(works.drums.map((d) => d.drum)),
  }
  for (const key of Object.keys(columns) as (keyof T & string)[]) {
    const { refersTo, name } = columns[key]
    const known = refersTo === null ? undefined : ids[refersTo]
    if (!known) continue
    for (const { row, record } of table.rows) {
      const value = record[key]
      if (typeof value === 'string' && !known.has(value))
        problems.add(table.file, row, name, `${shown(value)} is not in ${refersTo}`, `an id of ${refersTo}`)
    }
  }
}

function checkUnique<T>(table: Table<T>, key: keyof T, column: string, problems: ProblemList): void {
  const first = new Map<unknown, number>()
  for (const { row, record } of table.rows) {
    const value = record[key]
    if (value === undefined) continue
    const before = first.get(value)
    if (before === undefined) first.set(value, row)
    else
      problems.add(
        table.file,
        row,
        column,
        `${shown(String(value))} is in row ${before} already`,
        'each once',
      )
  }
}

/** A reading without its uncertainty, or a resistance without its temperature, is no witness. */
function checkPairs(table: Table<LengthWitnessRow>, problems: ProblemList): void {
  const pairs = [
    ['counterUm', 'counterUncUm', 'counter_unc_m', 'counter_m'],
    ['loopOhm', 'loopUncOhm', 'loop_unc_ohm', 'loop_ohm'],
    ['loopOhm', 'tempC', 'temp_c', 'loop_ohm'],
    ['roundTripNs', 'roundTripUncNs', 'round_trip_unc_ns', 'round_trip_ns'],
  ] as const
  for (const { row, record } of table.rows)
    for (const [reading, needed, column, of] of pairs)
      if (typeof record[reading] === 'number' && record[needed] === null)
        problems.add(table.file, row, column, `is empty where ${of} is given`, 'a number')
}
