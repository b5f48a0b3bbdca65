import { unzipSync } from 'fflate'
import { LastmetreError } from '../quantity/errors.ts'
import type { SheetCell } from '../works/table.ts'
import { inWorker } from './in-worker.ts'

const MAX_UNZIPPED_BYTES = 60 * 1024 * 1024
const MAX_ENTRIES = 1_000
/** A small file can still describe a sheet of a million rows by a thousand columns: time and heap are bounded too. */
const MAX_MS = 20_000
const MAX_HEAP_MB = 512

/** The cells of the first sheet; formulas as the values they had when the file was saved. */
export async function readXlsx(bytes: Uint8Array): Promise<SheetCell[][]> {
  checkUnzippedSize(bytes)
  const exceeded = new LastmetreError('too-large', 'The spreadsheet is too large to read.')
  return inWorker('xlsx-worker', bytes, { maxMs: MAX_MS, maxHeapMb: MAX_HEAP_MB, exceeded })
}

/** The unpacker never writes beyond the size that an entry declares, so the declared sizes are what to bound. */
function checkUnzippedSize(bytes: Uint8Array): void {
  let total = 0
  let entries = 0
  try {
    unzipSync(bytes, {
      filter({ originalSize }) {
        total += originalSize
        entries += 1
        if (total > MAX_UNZIPPED_BYTES || entries > MAX_ENTRIES) {
          throw new LastmetreError('too-large', 'The spreadsheet is too large once it is unpacked.')
        }
        return false
      },
    })
  } catch (error) {
    if (error instanceof LastmetreError) throw error
    throw new LastmetreError('file-unreadable', 'This is not an XLSX file.')
  }
}
