import { type ChildProcess, spawn } from 'node:child_process'
import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { sql } from 'kysely'
import { describe, expect, it } from 'vitest'
import type { LedgerContext } from '../../src/ledger/context.ts'
import { verifyLedger } from '../../src/store/ledger-verify.ts'
import { openStore } from '../../src/store/open-store.ts'
import { storeFailure } from '../../src/store/store-failure.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { book, command, demoContext, drumOf, openBook } from './books.ts'

const CHILD = fileURLToPath(new URL('./appending.mjs', import.meta.url))
const KILLS = 200
/** Data folders that are killed on in turn, so that no ledger grows long. */
const FOLDERS = 10

/** mulberry32, as in the public domain: the same moments at each run, as far as the machine allows. */
function randomFrom(seed: number): () => number {
  let state = seed
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32
  }
}

async function bookedFolder(context: LedgerContext): Promise<string> {
  const folder = await emptyFolder()
  const { db, close } = await openStore(folder, null)
  await openBook(db, context)
  await close()
  return folder
}

interface Appending {
  child: ChildProcess
  /** Resolves at the first key. */
  began: Promise<void>
  /** Whole lines that were said until it ended. */
  said: Promise<string[]>
}

function appending(program: string, args: string[]): Appending {
  const child = spawn(program, args, { stdio: ['ignore', 'pipe', 'inherit'] })
  let text = ''
  let begin = () => {}
  const began = new Promise<void>((resolve) => {
    begin = resolve
  })
  child.stdout.on('data', (chunk) => {
    text += chunk
    begin()
  })
  const said = new Promise<string[]>((resolve) => {
    child.on('close', () => {
      begin()
      resolve(text.split('\n').slice(0, -1))
    })
  })
  return { child, began, said }
}

/** What the folder holds after its process is gone: every acknowledged key, and a ledger that verifies. */
async function check(folder: string, acknowledged: readonly string[]): Promise<void> {
  const { db, close } = await openStore(folder, null)
  const rows = await db.selectFrom('ledger_event').select('key').execute()
  const kept = new Set(rows.map(({ key }) => key))
  expect(acknowledged.filter((key) => !kept.has(key))).toEqual([])
  expect(await verifyLedger(db)).toMatchObject({ events: rows.length, problems: [] })
  await close()
}

describe('an acknowledged event', () => {
  it(`survives kill -9 at ${KILLS} random moments`, { timeout: 900_000 }, async () => {
    const context = await demoContext()
    const works = join(await emptyFolder(), 'works.json')
    await writeFile(works, JSON.stringify(context.works))
    const random = randomFrom(20_310_303)
    const folders: string[] = []
    for (let i = 0; i < FOLDERS; i++) folders.push(await bookedFolder(context))
    let acknowledged = 0
    const killOnce = async (round: number) => {
      const folder = folders[round % FOLDERS] as string
      const { child, began, said } = appending(process.execPath, [CHILD, folder, works, String(round)])
      await began
      await new Promise((resolve) => setTimeout(resolve, random() * 100))
      child.kill('SIGKILL')
      const keys = await said
      acknowledged += keys.length
      await check(folder, keys)
    }
    // Two at a time, never on the same folder.
    for (let round = 0; round < KILLS; round += 2) await Promise.all([killOnce(round), killOnce(round + 1)])
    expect(acknowledged).toBeGreaterThan(KILLS)
  })
})

describe('a full disk', () => {
  it('is refused in words, leaves nothing half written, and all goes on once there is room', async () => {
    const context = await demoContext()
    const { db, close } = await openStore(await emptyFolder(), null)
    await openBook(db, context)
    const drum = drumOf(context, 10)
    const move = (n: number) => command(`m${n}`, { kind: 'move-drum', drum, place: `P${n}`.repeat(20) })
    const pages = (await sql<{ page_count: number }>`pragma page_count`.execute(db)).rows[0]?.page_count ?? 0
    await sql.raw(`pragma max_page_count = ${pages + 1}`).execute(db)
    let booked = 0
    const failed: unknown = await (async () => {
      for (; booked < 10_000; booked++) await book(db, context, move(booked))
    })().catch((error: unknown) => storeFailure(error))
    expect(failed).toMatchObject({ code: 'store-failed', message: expect.stringContaining('disk') })
    const before = context.works.drums.length
    expect(await verifyLedger(db)).toMatchObject({ events: before + booked, problems: [] })
    await sql.raw('pragma max_page_count = 1073741823').execute(db)
    await book(db, context, move(booked))
    expect(await verifyLedger(db)).toMatchObject({ events: before + booked + 1, problems: [] })
    await close()
  })

  // A limit of the operating system: the write itself fails, as on a disk without room.
  it('is told apart from success by the operating system’s own limit, too', {
    timeout: 120_000,
  }, async () => {
    const context = await demoContext()
    const works = join(await emptyFolder(), 'works.json')
    await writeFile(works, JSON.stringify(context.works))
    const folder = await bookedFolder(context)
    // Blocks of 512 bytes, by POSIX.
    const limited = `ulimit -f 3000; exec "$0" "$@"`
    const args = ['-c', limited, process.execPath, CHILD, folder, works, '0']
    const keys = await appending('sh', args).said
    expect(keys.pop()).toMatch(/^failed store-failed .*[Nn]othing was booked/)
    expect(keys.length).toBeGreaterThan(10)
    await check(folder, keys)
    const { child, began, said } = appending(process.execPath, [CHILD, folder, works, '1'])
    await began
    child.kill('SIGKILL')
    const more = await said
    expect(more.length).toBeGreaterThan(0)
    await check(folder, more)
  })
})
