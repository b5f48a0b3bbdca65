import type { CounterSeal } from '../measure/counter-seal.ts'
import type { CutRecord } from '../measure/look-back.ts'
import type { LengthUm } from '../quantity/length.ts'
import { type Columns, count, date, id, lengthUm, maybe, number, positive, ref } from './column.ts'
import { idsOf, uniqueRows } from './known-ids.ts'
import { type MoreResult, MoreTables, wholeRecords } from './more-tables.ts'
import type { ProblemList } from './problem-list.ts'
import type { Table } from './read-table.ts'
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

/** Reads the optional records against a checked works; a breach refuses them all, as in the sixteen. */
export function parseMoreRecords(
  files: ReadonlyMap<string, Uint8Array>,
  works: Works,
): MoreResult<MoreRecords> {
  const known = idsOf(works, 'lines.json', 'cables.csv', 'drums.csv')
  const tables = new MoreTables(files, MORE_FILES, known)
  const cuts = tables.read('more/cuts.csv', CUT_COLUMNS)
  const seals = tables.read('more/counters.csv', SEAL_COLUMNS)
  const witnesses = tables.read('more/length_witnesses.csv', LENGTH_WITNESS_COLUMNS)
  if (cuts) uniqueRows(cuts, 'serial', 'serial', (cut) => cut.id, tables.problems)
  if (seals) uniqueRows(seals, 'line', 'line', (seal) => seal.line, tables.problems)
  if (witnesses) checkPairs(witnesses, tables.problems)
  return tables.result(() => ({
    cuts: wholeRecords(cuts),
    seals: wholeRecords(seals),
    lengthWitnesses: wholeRecords(witnesses),
  }))
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
