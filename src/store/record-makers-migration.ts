import { type Kysely, type Migration, sql } from 'kysely'

/** What proves who made a record that comes in later, and who sent it. `tableSuffix` as in StoreDialect. */
export function recordMakersMigration(tableSuffix: string): Migration {
  return {
    async up(db: Kysely<unknown>) {
      await db.schema
        .createTable('record_pass')
        .addColumn('pass_hash', 'text', (column) => column.primaryKey().notNull())
        .addColumn('session_hash', 'text', (column) => column.notNull().unique())
        .addColumn('account', 'text', (column) => column.notNull())
        .addColumn('role', 'text', (column) => column.notNull())
        .addColumn('began_at', 'text', (column) => column.notNull())
        .addColumn('ended_at', 'text')
        .modifyEnd(sql.raw(tableSuffix))
        .execute()
      await db.schema.createIndex('record_pass_account').on('record_pass').column('account').execute()
      await db.schema.createIndex('record_pass_began').on('record_pass').column('began_at').execute()
      await db.schema.alterTable('ledger_event').addColumn('sent_by', 'text').execute()
    },
  }
}
