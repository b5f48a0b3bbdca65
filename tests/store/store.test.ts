import { mkdir, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { sql } from 'kysely'
import { describe, expect, it, onTestFinished } from 'vitest'
import { openStore } from '../../src/store/open-store.ts'
import { addPlan } from '../../src/store/plans.ts'
import { addWorksVersion } from '../../src/store/works-versions.ts'
import { emptyFolder } from '../support/empty-folder.ts'

const WORKS = { folder: '/somewhere/kelderwick', name: 'kelderwick', openedAt: '2031-03-03T06:00:00.000Z' }
const PLAN = { made_at: '2031-03-03T06:00:00.000Z', seconds: 10, seed: 1 }

async function emptyStore() {
  const folder = await emptyFolder()
  const store = await openStore(folder)
  onTestFinished(() => store.close())
  return { folder, ...store }
}

describe('what is acknowledged is on disk', () => {
  // https://www.sqlite.org/pragma.html#pragma_synchronous: 2 = FULL; in WAL mode only FULL syncs at each commit.
  it('writes ahead, syncs at every commit, and holds references', async () => {
    const { db } = await emptyStore()
    const pragma = async (name: string) => (await sql.raw(`pragma ${name}`).execute(db)).rows[0]
    expect(await pragma('journal_mode')).toEqual({ journal_mode: 'wal' })
    expect(await pragma('synchronous')).toEqual({ synchronous: 2 })
    expect(await pragma('foreign_keys')).toEqual({ foreign_keys: 1 })
  })

  it('refuses a value of the wrong type and a reference to nothing', async () => {
    const { db } = await emptyStore()
    await addWorksVersion(db, { ...WORKS, cause: 'opened', files: new Map() })
    const wrong = addPlan(db, { ...PLAN, works_version: 1, seed: 1.5 })
    await expect(wrong).rejects.toMatchObject({ code: 'SQLITE_CONSTRAINT_DATATYPE' })
    const orphan = addPlan(db, { ...PLAN, works_version: 7 })
    await expect(orphan).rejects.toMatchObject({ code: 'SQLITE_CONSTRAINT_FOREIGNKEY' })
  })
})

describe('one process', () => {
  it('refuses a data folder that is in use, and takes it once it is free', async () => {
    const { folder, close } = await emptyStore()
    await expect(openStore(folder)).rejects.toMatchObject({ code: 'data-in-use' })
    await close()
    const again = await openStore(folder)
    await again.close()
  })

  it('says so where the data folder cannot be made', async () => {
    const file = join(await emptyFolder(), 'file')
    await writeFile(file, '')
    await expect(openStore(join(file, 'data'))).rejects.toMatchObject({ code: 'store-failed' })
  })

  it('says so where the data folder holds something else in place of its files', async () => {
    const folder = await emptyFolder()
    await mkdir(join(folder, 'lock.sqlite'))
    await expect(openStore(folder)).rejects.toMatchObject({ code: 'store-failed' })
    const other = await emptyFolder()
    await writeFile(
      join(other, 'lastmetre.sqlite'),
      'no database, but long enough to be looked at as one'.repeat(20),
    )
    await expect(openStore(other)).rejects.toMatchObject({ code: 'store-failed' })
    // A refusal lets go of the folder.
    await rm(join(other, 'lastmetre.sqlite'))
    await (await openStore(other)).close()
  })

  it('refuses a database of a newer version in words', async () => {
    const { folder, db, close } = await emptyStore()
    await sql`insert into kysely_migration values ('9999-later', '2099-01-01')`.execute(db)
    await close()
    await expect(openStore(folder)).rejects.toThrow('newer Lastmetre')
  })
})
