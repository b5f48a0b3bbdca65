import { type Kysely, type Migration, sql } from 'kysely'
import type { StoreDialect } from './dialect.ts'

/** Labels that are on their way to a printer. */
export function labelSendingMigration({ wholeType, tableSuffix }: StoreDialect): Migration {
  return {
    async up(db: Kysely<unknown>) {
      await db.schema
        .createTable('label_sending')
        .addColumn('key', 'text', (column) => column.primaryKey().notNull())
        .addColumn('serial', 'text', (column) => column.notNull())
        .addColumn('printer', 'text', (column) => column.notNull())
        .addColumn('line', 'text', (column) => column.notNull())
        .addColumn('reason', 'text', (column) => column.notNull())
        .addColumn('actor', 'text', (column) => column.notNull())
        .addColumn('server', 'text', (column) => column.notNull())
        .addColumn('at_ms', wholeType, (column) => column.notNull())
        .addColumn('in_doubt', 'integer', (column) => column.notNull())
        .modifyEnd(sql.raw(tableSuffix))
        .execute()
    },
  }
}
