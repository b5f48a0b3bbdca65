import type { Dialect, Kysely } from 'kysely'
import type { Tables } from './tables.ts'

export type Store = Kysely<Tables>

/** What differs between databases, in one place. SQLite is the first; PostgreSQL is to follow. */
export interface StoreDialect {
  dialect: Dialect
  /** Column type of bytes. */
  bytesType: 'blob' | 'bytea'
  /** What stands behind the closing bracket of CREATE TABLE. */
  tableSuffix: string
}
