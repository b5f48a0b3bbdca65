import { type Kysely, type Migration, sql } from 'kysely'
import type { StoreDialect } from './dialect.ts'

/** What NOTIFY goes out on; the payload is a topic. */
export const CHANNEL = 'lastmetre'

/**
 * What several servers on one database tell each other. On PostgreSQL the ledger's head and the versions of the works ring in
 * the transaction that changes them, whoever it is, so that nothing is rung for that was not booked.
 */
export function sharingMigration({ wholeType, tableSuffix, isShared }: StoreDialect): Migration {
  return {
    async up(db: Kysely<unknown>) {
      await db.schema
        .createTable('duty')
        .addColumn('id', 'integer', (column) => column.primaryKey().notNull())
        .addColumn('done_seq', wholeType, (column) => column.notNull())
        .modifyEnd(sql.raw(tableSuffix))
        .execute()
      await db.schema
        .createTable('shared_news')
        .addColumn('topic', 'text', (column) => column.primaryKey().notNull())
        .addColumn('content', 'text', (column) => column.notNull())
        .modifyEnd(sql.raw(tableSuffix))
        .execute()
      if (isShared) await ring(db)
    },
  }
}

async function ring(db: Kysely<unknown>): Promise<void> {
  await sql`create function lastmetre_ring() returns trigger language plpgsql as
    $$ begin perform pg_notify(${sql.lit(CHANNEL)}, tg_argv[0]); return null; end $$`.execute(db)
  // a head that is only locked is written as it was
  await sql`create trigger ledger_rings after update on ledger_head for each row
    when (old.seq is distinct from new.seq) execute function lastmetre_ring('ledger')`.execute(db)
  await sql`create trigger works_rings after insert on works_version for each row
    execute function lastmetre_ring('works')`.execute(db)
}
