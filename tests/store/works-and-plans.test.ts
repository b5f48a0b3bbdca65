import { describe, expect, it } from 'vitest'
import { markForsaken } from '../../src/store/planning-jobs.ts'
import { addPlan, endPlan, keepBestPlan, latestPlan, planById } from '../../src/store/plans.ts'
import {
  addWorksVersion,
  latestWorksVersion,
  openedInVersion,
  worksFiles,
} from '../../src/store/works-versions.ts'
import { onBoth } from '../support/databases.ts'

const WORKS = { folder: '/somewhere/kelderwick', name: 'kelderwick', openedAt: '2031-03-03T06:00:00.000Z' }
const PLAN = { made_at: '2031-03-03T06:00:00.000Z', seconds: 10, seed: 1 }

function bytes(text: string): Uint8Array {
  return new TextEncoder().encode(text)
}

onBoth(({ kind, place }) => {
  describe('versions of the works', () => {
    it('keeps every version byte for byte, and a content that did not change once', async () => {
      const { db } = await (await place()).open()
      const files = new Map([
        ['orders.csv', bytes('a')],
        ['drums.csv', bytes('\ufeffb\r\n')],
      ])
      const first = await addWorksVersion(db, { ...WORKS, cause: 'opened', files })
      const changed = new Map(files).set('orders.csv', bytes('c'))
      const second = await addWorksVersion(db, { ...WORKS, cause: 'orders', files: changed })
      expect([first, second]).toEqual([1, 2])
      expect((await latestWorksVersion(db))?.version).toBe(2)
      expect(await openedInVersion(db, 2)).toBe(1)
      const read = async (version: number) =>
        [...(await worksFiles(db, version))].map(([name, content]) => [name, Buffer.from(content).toString()])
      expect(await read(1)).toEqual([
        ['drums.csv', '\ufeffb\r\n'],
        ['orders.csv', 'a'],
      ])
      expect(await read(2)).toEqual([
        ['drums.csv', '\ufeffb\r\n'],
        ['orders.csv', 'c'],
      ])
      expect(await db.selectFrom('file_content').select('sha256').execute()).toHaveLength(3)
    })

    it('stores a version as a whole or not at all', async () => {
      const { db } = await (await place()).open()
      const broken = db.transaction().execute(async (trx) => {
        await addWorksVersion(trx, { ...WORKS, cause: 'opened', files: new Map([['a', bytes('a')]]) })
        throw new Error('in between')
      })
      await expect(broken).rejects.toThrow('in between')
      expect(await latestWorksVersion(db)).toBeNull()
    })
  })

  describe('plans', () => {
    it('keeps the best so far of a plan that was cut off, and says that it was', async () => {
      const { open } = await place()
      const { db, close } = await open()
      await addWorksVersion(db, { ...WORKS, cause: 'opened', files: new Map() })
      const id = await addPlan(db, { ...PLAN, works_version: 1 })
      expect(await latestPlan(db, 1)).toBeNull()
      await keepBestPlan(db, id, '{"best":1}')
      await close()
      const again = await open()
      // On PostgreSQL another server may be making it: who opens the queue looks.
      if (kind === 'postgres') await markForsaken(again.db, 15_000)
      expect(await planById(again.db, id)).toMatchObject({ state: 'interrupted', plan_json: '{"best":1}' })
      expect((await latestPlan(again.db, 1))?.id).toBe(id)
      // A plan of the works that was open before is not one of this works.
      expect(await latestPlan(again.db, 2)).toBeNull()
    })

    it('ends a failed plan with the best it had', async () => {
      const { db } = await (await place()).open()
      await addWorksVersion(db, { ...WORKS, cause: 'opened', files: new Map() })
      const id = await addPlan(db, { ...PLAN, works_version: 1 })
      await keepBestPlan(db, id, '{"best":1}')
      await endPlan(db, id, { state: 'failed', planJson: null, message: 'no memory' })
      expect(await planById(db, id)).toMatchObject({
        state: 'failed',
        plan_json: '{"best":1}',
        message: 'no memory',
      })
    })
  })
})
