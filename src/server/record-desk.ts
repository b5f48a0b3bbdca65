import { resolve } from 'node:path'
import { complaintPagePdf } from '../documents/complaint-page.ts'
import type { ShortChance } from '../ledger/complaint-chance.ts'
import type { Trace } from '../ledger/trace.ts'
import { openReader } from '../store/open-reader.ts'
import type { BalanceAnswer, DueAnswer, RecallAnswer, RecallQuery } from '../works/records-api.ts'
import { DEFAULT_DATA_FOLDER } from './project.ts'
import { balanceOf } from './record-balance.ts'
import { dueOf } from './record-due.ts'
import { recallOf } from './record-recall.ts'
import { complaintPaperOf, tracedOf } from './record-trace.ts'
import { keptRecords, type RecordWorks, recordWorks } from './record-works.ts'
import { StockMovements } from './stock-movements.ts'
import { openWorksDesk } from './works-desk.ts'

/**
 * The records of a data folder for the command line, beside a server that may be running. `data` null: the usual folder;
 * DATABASE_URL names a PostgreSQL database that takes its place. Throws 'store-failed' where there is none, 'no-works' where
 * no works was ever opened, 'unknown-id' for what the ledger does not know.
 */
export const recordDesk = {
  trace: (data: string | null, serial: string): Promise<{ trace: Trace; short: ShortChance | null }> =>
    reading(data, (works) => tracedOf(works, serial)),
  recall: (data: string | null, query: RecallQuery): Promise<RecallAnswer> =>
    reading(data, (works) => recallOf(works, query)),
  balance: (
    data: string | null,
    asked: { month?: string; from?: string; to?: string },
  ): Promise<BalanceAnswer> =>
    reading(data, (works) => balanceOf(works, new StockMovements(works.db), asked)),
  due: (data: string | null): Promise<DueAnswer> => reading(data, dueOf),
  /** The page of a piece, PDF. */
  page: (data: string | null, serial: string): Promise<Uint8Array> =>
    reading(data, async (works) => complaintPagePdf(await complaintPaperOf(works, serial))),
}

async function reading<T>(data: string | null, read: (works: RecordWorks) => Promise<T>): Promise<T> {
  const { db, close } = await openReader(resolve(data ?? DEFAULT_DATA_FOLDER))
  try {
    const works = await openWorksDesk(db)
    return await read(recordWorks(db, works.current(), keptRecords(db), new Date().toISOString()))
  } finally {
    await close()
  }
}
