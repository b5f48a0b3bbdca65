import { type Kysely, type Migration, sql } from 'kysely'
import type { StoreDialect } from './dialect.ts'

/** Sparks that a line's tester reported, with what was read around them. */
export function sparkMigration({ tableSuffix }: StoreDialect): Migration {
  return {
    async up(db: Kysely<unknown>) {
      await db.schema
        .createTable('spark')
        .addColumn('id', 'text', (column) => column.primaryKey().notNull())
        .addColumn('line', 'text', (column) => column.notNull())
        .addColumn('drum', 'text')
        .addColumn('at', 'text', (column) => column.notNull())
        .addColumn('state', 'text', (column) =>
          column.notNull().check(sql`state in ('waiting', 'confirmed', 'dismissed', 'cut off', 'forgotten')`),
        )
        .addColumn('fault', 'text')
        .addColumn('place', 'text', (column) => column.notNull())
        .addColumn('raw', 'text')
        .modifyEnd(sql.raw(tableSuffix))
        .execute()
      await db.schema.createIndex('spark_state').on('spark').column('state').execute()
      await db.schema.createIndex('spark_fault').on('spark').column('fault').execute()
    },
  }
}
