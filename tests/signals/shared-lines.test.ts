import { afterAll, beforeAll, expect, it } from 'vitest'
import { readWholeFolder } from '../../src/server/kept-more.ts'
import { openServer } from '../server/shared-server.ts'
import { startPostgres, type TestPostgres } from '../support/postgres.ts'
import { until, untilFound } from '../support/until.ts'
import { book, liveFolder, shows, simulated } from './live-line.ts'

let postgres: TestPostgres | undefined
beforeAll(async () => {
  postgres = await startPostgres()
})
afterAll(() => postgres?.stop())

it('of two servers one listens to a line; a spark is placed once, seen and answered on both, and kept where the first ends', {
  timeout: 120_000,
}, async () => {
  const { simulator, truth, drum } = await simulated('RW-2', 5)
  const url = (await postgres?.fresh()) ?? ''
  const [a, b] = [await openServer(url), await openServer(url)]
  await a.app.works.open(await readWholeFolder(await liveFolder('RW-2', simulator)))
  await until(
    async () => b.app.works.isOpen(),
    (isOpen) => isOpen,
  )
  await book(b.app, { kind: 'mount-drum', drum, line: 'RW-2', mounting: null })
  const onB = await untilFound(async () => {
    const shown = await shows(b.app, 'RW-2')
    return shown.sparks.length >= 2 ? shown : undefined
  })
  expect(onB).toMatchObject({ state: 'live' })
  const [first, second] = onB.sparks
  expect((await shows(a.app, 'RW-2')).sparks.map(({ id }) => id)).toEqual(
    expect.arrayContaining([first!.id, second!.id]),
  )
  const dismiss = (id: string) =>
    b.app.http.inject({ method: 'POST', url: `/api/floor/sparks/${id}/dismiss` })
  expect((await dismiss(second!.id)).statusCode).toBe(204)
  expect((await dismiss(second!.id)).statusCode).toBe(404)
  for (const { app } of [a, b])
    await until(
      () => shows(app, 'RW-2'),
      ({ sparks }) => sparks.every(({ id }) => id !== second!.id),
    )
  // had both listened, each would have placed every one
  const placed = (await b.db.selectFrom('spark').select('id').execute()).length
  expect(placed).toBeLessThanOrEqual(truth.filter(({ kind }) => kind === 'spark').length)

  await a.close()
  const after = await until(
    () => shows(b.app, 'RW-2'),
    ({ state, sparks }) => state === 'live' && sparks.length > 0,
  )
  expect(after.sparks.map(({ id }) => id)).toContain(first!.id)
  expect(after.sparks.map(({ id }) => id)).not.toContain(second!.id)
})
