import type { Dialect, Kysely } from 'kysely'
import type { Tables } from './tables.ts'

export type Store = Kysely<Tables>

/** What differs between databases, in one place. */
export interface StoreDialect {
  dialect: Dialect
  /** Column type of whole numbers up to 2^53, such as micrometres. */
  wholeType: 'integer' | 'bigint'
  /** Column type of doubles. */
  doubleType: 'real' | 'double precision'
  /** Column type of bytes. */
  bytesType: 'blob' | 'bytea'
  /** What stands behind the closing bracket of CREATE TABLE. */
  tableSuffix: string
  /** Several processes may be on it at one time, and can be told by NOTIFY. */
  isShared: boolean
}
