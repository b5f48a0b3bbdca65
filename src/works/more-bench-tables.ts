import type { BenchRecords } from '../lead/job-records.ts'
import type { Table } from './read-table.ts'

/** The files of the bench as read, before they are checked; null where a file is not there. */
export type BenchTables = { [K in keyof BenchRecords]: Table<NonNullable<BenchRecords[K]>[number]> | null }
