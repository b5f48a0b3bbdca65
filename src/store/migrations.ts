import { type Kysely, type Migration, Migrator, sql } from 'kysely'
import { LastmetreError } from '../quantity/errors.ts'
import { accountsMigration } from './accounts-migration.ts'
import type { Store, StoreDialect } from './dialect.ts'
import { dutyLeaseMigration } from './duty-lease-migration.ts'
import { labelSendingMigration } from './label-sending-migration.ts'
import { ledgerMigration } from './ledger-migration.ts'
import { planFloorMigration } from './plan-floor-migration.ts'
import { planningJobsMigration } from './planning-jobs-migration.ts'
import { recordMakersMigration } from './record-makers-migration.ts'
import { sharingMigration } from './sharing-migration.ts'
import { sparkMigration } from './spark-migration.ts'

/** In order; a migration that has been released is never changed, only followed by another. */
function migrations(dialect: StoreDialect): Record<string, Migration> {
  const { bytesType, tableSuffix } = dialect
  const suffix = sql.raw(tableSuffix)
  return {
    '0001-works-and-plans': {
      async up(db: Kysely<unknown>) {
        await db.schema
          .createTable('works_version')
          .addColumn('version', 'integer', (column) => column.primaryKey().notNull())
          .addColumn('folder', 'text', (column) => column.notNull())
          .addColumn('name', 'text', (column) => column.notNull())
          .addColumn('opened_at', 'text', (column) => column.notNull())
          .addColumn('cause', 'text', (column) => column.notNull().check(sql`cause in ('opened', 'orders')`))
          .modifyEnd(suffix)
          .execute()
        await db.schema
          .createTable('file_content')
          .addColumn('sha256', 'text', (column) => column.primaryKey().notNull())
          .addColumn('bytes', bytesType === 'blob' ? 'blob' : 'bytea', (column) => column.notNull())
          .modifyEnd(suffix)
          .execute()
        await db.schema
          .createTable('works_file')
          .addColumn('version', 'integer', (column) => column.notNull().references('works_version.version'))
          .addColumn('file', 'text', (column) => column.notNull())
          .addColumn('sha256', 'text', (column) => column.notNull().references('file_content.sha256'))
          .addPrimaryKeyConstraint('works_file_key', ['version', 'file'])
          .modifyEnd(suffix)
          .execute()
        await db.schema
          .createTable('plan')
          .addColumn('id', 'integer', (column) => column.primaryKey().notNull())
          .addColumn('works_version', 'integer', (column) =>
            column.notNull().references('works_version.version'),
          )
          .addColumn('made_at', 'text', (column) => column.notNull())
          .addColumn('seconds', 'real', (column) => column.notNull())
          .addColumn('seed', 'integer', (column) => column.notNull())
          .addColumn('state', 'text', (column) =>
            column.notNull().check(sql`state in ('running', 'done', 'stopped', 'failed', 'interrupted')`),
          )
          .addColumn('plan_json', 'text')
          .addColumn('message', 'text')
          .modifyEnd(suffix)
          .execute()
      },
    },
    '0002-what-was-changed': {
      async up(db: Kysely<unknown>) {
        await db.schema
          .alterTable('works_version')
          .addColumn('change', 'text', (column) =>
            column.check(sql`change in ('counter checks', 'length guard', 'more files')`),
          )
          .execute()
      },
    },
    '0003-ledger': ledgerMigration(dialect),
    '0004-accounts': accountsMigration(tableSuffix),
    '0005-plan-floor': planFloorMigration(dialect),
    '0006-sparks': sparkMigration(dialect),
    '0007-planning-jobs': planningJobsMigration(dialect),
    '0008-sharing': sharingMigration(dialect),
    '0009-record-makers': recordMakersMigration(tableSuffix),
    '0010-label-sendings': labelSendingMigration(dialect),
    '0011-duty-lease': dutyLeaseMigration(dialect),
  }
}

/** Brings the database to the newest form, or says why it cannot. */
export async function migrate(db: Store, dialect: StoreDialect): Promise<void> {
  const migrator = new Migrator({
    db,
    provider: { getMigrations: async () => migrations(dialect) },
  })
  const { error } = await migrator.migrateToLatest()
  if (error === undefined) return
  const text = error instanceof Error ? error.message : String(error)
  const newer = text.includes('missing')
  throw new LastmetreError(
    'store-failed',
    newer
      ? 'The database was written by a newer Lastmetre than this one.'
      : `The database could not be brought up to date: ${text}.`,
  )
}
