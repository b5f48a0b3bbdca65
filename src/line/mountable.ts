import type { RewindingLine } from '../hall/rewinding-line.ts'
import { UM_PER_M } from '../quantity/length.ts'
import type { Drum } from '../strip/drum.ts'

/** A cutting bench takes remnants up to this gross mass (works' rule; common practice for hand lifting, NIOSH 94-110 load constant 23 kg). */
export const BENCH_MAX_KG = 25

/** Metres that lie threaded beyond the dancer store and the way from spark head to cutter (works' rule). */
export const THREADING_M = 2

/** Cable that must lie in the line before the first piece can be cut, m: a shorter drum cannot be run on it. */
export function threadedPathM(line: RewindingLine): number {
  return line.dancer.storedM + line.spark.toCutterM + THREADING_M
}

/** Whether a drum can be run on a line for its length: it reaches through the line, or runs on it already. */
export function canThread(drum: Pick<Drum, 'bookUm' | 'ledger'>, line: RewindingLine): boolean {
  return drum.ledger?.mountedOn === line.id || drum.bookUm / UM_PER_M >= threadedPathM(line)
}
