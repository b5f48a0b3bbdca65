import { type Kysely, type Migration, sql } from 'kysely'
import type { StoreDialect } from './dialect.ts'

/** The works as it stood in the hall when a plan was made: without it the places of the plan mean nothing later. */
export function planFloorMigration({ bytesType, wholeType, tableSuffix }: StoreDialect): Migration {
  return {
    async up(db: Kysely<unknown>) {
      await db.schema
        .createTable('plan_floor')
        .addColumn('plan_id', 'integer', (column) => column.primaryKey().notNull().references('plan.id'))
        .addColumn('ledger_seq', wholeType, (column) => column.notNull())
        .addColumn('content', bytesType, (column) => column.notNull())
        .modifyEnd(sql.raw(tableSuffix))
        .execute()
    },
  }
}
