import { existsSync, readdirSync } from 'node:fs'
import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { expect, it } from 'vitest'
import { backUp, restore } from '../../src/store/backup.ts'
import { ledgerHead } from '../../src/store/ledger-state.ts'
import { verifyLedger } from '../../src/store/ledger-verify.ts'
import { openStore } from '../../src/store/open-store.ts'
import { addWorksVersion, worksFiles } from '../../src/store/works-versions.ts'
import { onBoth } from '../support/databases.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { AT, book, command, cut, demoContext, drumOf, firstLine, mount, openBook } from './books.ts'

onBoth(({ place }) => {
  async function filled() {
    const { open, folder, url } = await place()
    const { db, close } = await open()
    const context = await demoContext()
    const files = new Map([['orders.csv', new Uint8Array([0xef, 0xbb, 0xbf, 65, 13, 10, 0])]])
    await addWorksVersion(db, { folder: '/f', name: 'n', openedAt: AT, cause: 'opened', files })
    await openBook(db, context)
    const drum = drumOf(context, 200)
    await book(
      db,
      context,
      mount('k1', drum, firstLine(context)),
      cut('k2', drum, firstLine(context), 10, 20),
    )
    return { db, close, folder, url, context, drum }
  }

  it('backs up one moment while it is written to, and what is restored goes on from there', async () => {
    const { db, folder, url, context, drum } = await filled()
    const before = await ledgerHead(db)
    const file = join(await emptyFolder(), 'backup.sqlite')
    let moves = 0
    let isDone = false
    const writing = (async () => {
      for (; !isDone; moves++) {
        // The embedded database answers within the turn; the backup needs turns of its own.
        await new Promise((resolve) => setImmediate(resolve))
        await book(db, context, command(`m${moves}`, { kind: 'move-drum', drum, place: `P${moves}` }))
      }
    })()
    const report = await backUp(folder, file, url)
    isDone = true
    await writing
    expect(report.problems).toEqual([])
    expect(report.events).toBeGreaterThanOrEqual(before.seq)
    expect(report.events).toBeLessThanOrEqual(before.seq + moves)
    expect(readdirSync(join(file, '..'))).toEqual(['backup.sqlite'])

    const again = await emptyFolder()
    expect(await restore(file, again, null)).toEqual(report)
    const restored = await openStore(again, null)
    expect((await ledgerHead(restored.db)).hash).toBe(report.hash)
    expect([...(await worksFiles(restored.db, 1)).values()][0]).toEqual(
      Buffer.from([0xef, 0xbb, 0xbf, 65, 13, 10, 0]),
    )
    await book(restored.db, context, cut('k3', drum, firstLine(context), 5))
    expect(await verifyLedger(restored.db)).toMatchObject({ events: report.events + 1, problems: [] })
    await restored.close()
  })

  it('writes nothing over, and restores nothing that does not verify', async () => {
    const { folder, url } = await filled()
    const out = await emptyFolder()
    const file = join(out, 'backup.sqlite')
    await backUp(folder, file, url)
    await expect(backUp(folder, file, url)).rejects.toMatchObject({ code: 'out-refused' })
    const full = await emptyFolder()
    await writeFile(join(full, 'lastmetre.sqlite'), '')
    await expect(restore(file, full, null)).rejects.toMatchObject({ code: 'out-refused' })

    const copy = new SqliteDatabase(file)
    copy.exec("update ledger_event set actor = 'other' where key = 'k2'")
    copy.close()
    const empty = await emptyFolder()
    await expect(restore(file, empty, null)).rejects.toMatchObject({ code: 'ledger-broken' })
    expect(existsSync(join(empty, 'lastmetre.sqlite'))).toBe(false)
    expect(existsSync(join(empty, 'restore.part'))).toBe(false)
    await expect(restore(join(out, 'nothing'), empty, null)).rejects.toMatchObject({ code: 'store-failed' })
  })

  it('fills another database of its kind, as one that is outgrown moves to PostgreSQL', async () => {
    const { folder, url } = await filled()
    const file = join(await emptyFolder(), 'backup.sqlite')
    const report = await backUp(folder, file, url)
    const other = await place()
    expect(await restore(file, other.folder, other.url)).toEqual(report)
    const { db, close } = await other.open()
    expect(await verifyLedger(db)).toMatchObject({ hash: report.hash, problems: [] })
    await close()
    await expect(restore(file, other.folder, other.url)).rejects.toMatchObject({ code: 'out-refused' })
  })
})
