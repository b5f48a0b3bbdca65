import { type Kysely, type Migration, sql } from 'kysely'
import type { StoreDialect } from './dialect.ts'

/** What servers and planning workers tell each other where they share a PostgreSQL. */
export function planningJobsMigration({ wholeType, doubleType, tableSuffix }: StoreDialect): Migration {
  return {
    async up(db: Kysely<unknown>) {
      await db.schema
        .createTable('planning_job')
        .addColumn('plan_id', 'integer', (column) => column.primaryKey().notNull().references('plan.id'))
        .addColumn('turn', 'integer', (column) => column.notNull())
        .addColumn('input', 'text', (column) => column.notNull())
        .addColumn('seconds', doubleType, (column) => column.notNull())
        .addColumn('seed', wholeType, (column) => column.notNull())
        .addColumn('stop_asked', 'integer', (column) => column.notNull())
        .addColumn('beat_ms', wholeType)
        .addColumn('step', 'integer', (column) => column.notNull())
        .addColumn('progress', 'text')
        .addColumn('best', 'text')
        .addColumn('best_step', 'integer', (column) => column.notNull())
        .addColumn('ended', 'text')
        .modifyEnd(sql.raw(tableSuffix))
        .execute()
    },
  }
}
