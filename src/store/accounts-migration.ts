import { type Kysely, type Migration, sql } from 'kysely'

/** Who may sign in, who is signed in, and who must wait. `tableSuffix` as in StoreDialect. */
export function accountsMigration(tableSuffix: string): Migration {
  const suffix = sql.raw(tableSuffix)
  return {
    async up(db: Kysely<unknown>) {
      await db.schema
        .createTable('account')
        .addColumn('account', 'text', (column) => column.primaryKey().notNull())
        .addColumn('name', 'text', (column) => column.notNull())
        .addColumn('role', 'text', (column) => column.notNull())
        .addColumn('pin_hash', 'text', (column) => column.notNull())
        .addColumn('closed', 'integer', (column) => column.notNull().check(sql`closed in (0, 1)`))
        .addColumn('made_at', 'text', (column) => column.notNull())
        .modifyEnd(suffix)
        .execute()
      await db.schema
        .createTable('session')
        .addColumn('id_hash', 'text', (column) => column.primaryKey().notNull())
        .addColumn('account', 'text', (column) => column.notNull().references('account.account'))
        .addColumn('began_at', 'text', (column) => column.notNull())
        .addColumn('used_at', 'text', (column) => column.notNull())
        .modifyEnd(suffix)
        .execute()
      await db.schema
        .createTable('sign_in_lock')
        .addColumn('subject', 'text', (column) => column.primaryKey().notNull())
        .addColumn('failures', 'integer', (column) => column.notNull())
        .addColumn('failed_at', 'text', (column) => column.notNull())
        .addColumn('locked_until', 'text')
        .modifyEnd(suffix)
        .execute()
    },
  }
}
