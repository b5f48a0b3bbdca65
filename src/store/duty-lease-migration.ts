import { type Kysely, type Migration, sql } from 'kysely'
import type { StoreDialect } from './dialect.ts'

/** Which of several servers repairs, prints and listens to the lines, and until when. */
export function dutyLeaseMigration({ wholeType, tableSuffix }: StoreDialect): Migration {
  return {
    async up(db: Kysely<unknown>) {
      await db.schema
        .createTable('duty_lease')
        .addColumn('id', 'integer', (column) => column.primaryKey().notNull())
        .addColumn('server', 'text', (column) => column.notNull())
        .addColumn('pid', 'integer', (column) => column.notNull())
        .addColumn('until_ms', wholeType, (column) => column.notNull())
        .modifyEnd(sql.raw(tableSuffix))
        .execute()
    },
  }
}
