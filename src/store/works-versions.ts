import { createHash } from 'node:crypto'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from './dialect.ts'
import { lockHead } from './ledger-append.ts'
import type { WorksCause, WorksChange, WorksVersionRow } from './tables.ts'

export interface NewWorks {
  folder: string
  name: string
  openedAt: string
  cause: WorksCause
  change?: WorksChange | null
  files: ReadonlyMap<string, Uint8Array>
  /** Version that this one changes; null where it replaces all. */
  after?: number | null
}

/**
 * Stores a works as the next version, inside the caller's transaction, and answers its number. Throws 'figures-stale' where
 * another server has stored a version since the one that it changes.
 */
export async function addWorksVersion(trx: Store, works: NewWorks): Promise<number> {
  // Two servers on one PostgreSQL do not give the same number.
  await lockHead(trx)
  const last = await latestVersion(trx)
  if (works.after != null && works.after !== last) {
    throw new LastmetreError('figures-stale', 'The works was changed by another server just now.')
  }
  const version = last + 1
  await trx
    .insertInto('works_version')
    .values({
      version,
      folder: works.folder,
      name: works.name,
      opened_at: works.openedAt,
      cause: works.cause,
      change: works.change ?? null,
    })
    .execute()
  for (const [file, bytes] of works.files) {
    const sha256 = createHash('sha256').update(bytes).digest('hex')
    await trx
      .insertInto('file_content')
      .values({ sha256, bytes })
      .onConflict((conflict) => conflict.column('sha256').doNothing())
      .execute()
    await trx.insertInto('works_file').values({ version, file, sha256 }).execute()
  }
  return version
}

/** Number of the newest version; 0 where no works was ever opened. */
export async function latestVersion(trx: Store): Promise<number> {
  const last = await trx
    .selectFrom('works_version')
    .select((eb) => eb.fn.max('version').as('version'))
    .executeTakeFirst()
  return Number(last?.version ?? 0)
}

/** The newest version, or null where no works was ever opened. */
export async function latestWorksVersion(trx: Store): Promise<WorksVersionRow | null> {
  const row = await trx
    .selectFrom('works_version')
    .selectAll()
    .orderBy('version', 'desc')
    .limit(1)
    .executeTakeFirst()
  return row ?? null
}

export async function worksVersion(trx: Store, version: number): Promise<WorksVersionRow | null> {
  const row = await trx
    .selectFrom('works_version')
    .selectAll()
    .where('version', '=', version)
    .executeTakeFirst()
  return row ?? null
}

/** Number of the version in which the works of `version` was opened; later ones only changed something of it. */
export async function openedInVersion(trx: Store, version: number): Promise<number> {
  const row = await trx
    .selectFrom('works_version')
    .select((eb) => eb.fn.max('version').as('version'))
    .where('version', '<=', version)
    .where('cause', '=', 'opened')
    .executeTakeFirst()
  return Number(row?.version ?? 0)
}

/** The files of a version, byte for byte as they were read. */
export async function worksFiles(trx: Store, version: number): Promise<Map<string, Uint8Array>> {
  const rows = await trx
    .selectFrom('works_file')
    .innerJoin('file_content', 'file_content.sha256', 'works_file.sha256')
    .select(['works_file.file', 'file_content.bytes'])
    .where('works_file.version', '=', version)
    .orderBy('works_file.file')
    .execute()
  return new Map(rows.map(({ file, bytes }) => [file, bytes]))
}
