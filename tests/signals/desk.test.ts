import { expect, it, onTestFinished } from 'vitest'
import { buildApp } from '../../src/server/app.ts'
import { readWholeFolder } from '../../src/server/kept-more.ts'
import { openStore } from '../../src/store/open-store.ts'
import { DEMO } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { untilFound } from '../support/until.ts'
import { book, liveFolder, shows, simulated } from './live-line.ts'

/** The whole way: a simulated line, its devices on loopback, the server that listens, a person who answers. */

it.each(['RW-1', 'RW-2'])(
  '%s: a spark is put on the drum, confirmed by a person, and kept with its readings',
  async (line) => {
    const { simulator, truth, drum } = await simulated(line, 5)
    const data = await emptyFolder()
    let store = await openStore(data)
    let app = await buildApp(store.db)
    await app.works.open(await readWholeFolder(await liveFolder(line, simulator)))
    await book(app, { kind: 'mount-drum', drum, line, mounting: null })
    const spark = await untilFound(async () => (await shows(app, line)).sparks[0])
    const shown = await shows(app, line)
    expect(shown).toMatchObject({ line, state: 'live', message: null })
    const fired = truth.find((event) => event.kind === 'spark')!
    const cuts = truth.filter((event) => event.kind === 'cut')
    // nothing is recorded as cut: the place is from the end of the drum as it was mounted
    const trueM = fired.kind === 'spark' ? fired.fromOuterM : Number.NaN
    if (cuts.length === 0 || cuts[0]!.tS > fired.tS)
      expect(Math.abs(spark.fromUm / 1e6 - trueM)).toBeLessThanOrEqual(spark.uncUm / 1e6)
    expect(spark.uncUm / 1e6).toBeGreaterThan(0.5)

    const second = await untilFound(async () => (await shows(app, line)).sparks[1])
    expect(
      (await app.http.inject({ method: 'POST', url: `/api/floor/sparks/${second.id}/dismiss` })).statusCode,
    ).toBe(204)
    expect(
      (await app.http.inject({ method: 'POST', url: `/api/floor/sparks/${second.id}/dismiss` })).statusCode,
    ).toBe(404)

    await app.http.close()
    await store.close()
    store = await openStore(data)
    app = await buildApp(store.db)
    onTestFinished(async () => {
      await app.http.close()
      await store.close()
    })
    const again = await untilFound(async () =>
      (await shows(app, line)).sparks.find(({ id }) => id === spark.id),
    )
    expect(again).toEqual(spark)
    const found = await book(app, {
      ...{
        kind: 'find-fault',
        drum,
        code: 'SPK',
        severity: 'cut_out',
        what: null,
        line,
        signal: true,
        foundAt: null,
      },
      place: { by: 'counter', fromUm: spark.fromUm - 250_000, toUm: spark.fromUm + 250_000 },
    })
    const fault = 'event' in found && found.event.body.kind === 'fault-found' ? found.event.body.fault : ''
    const kept = await untilFound(async () => {
      const answer = await app.http.inject({ url: `/api/floor/sparks/${fault}` })
      return answer.statusCode === 200
        ? (answer.json() as { id: string; state: string; drum: string })
        : undefined
    })
    expect(kept).toMatchObject({ id: spark.id, state: 'confirmed', drum })
    expect((await shows(app, line)).sparks.map(({ id }) => id)).not.toContain(spark.id)
    expect(simulator.heard.functions.filter((code) => code !== 3 && code !== 4)).toEqual([])
    expect(simulator.heard.published).toEqual([])
  },
)

it('what lay in a piece that was cut goes with it, and says so; the rest moves nearer', async () => {
  const { simulator, truth, drum } = await simulated('RW-1', 5)
  const store = await openStore(await emptyFolder())
  const app = await buildApp(store.db)
  onTestFinished(async () => {
    await app.http.close()
    await store.close()
  })
  await app.works.open(await readWholeFolder(await liveFolder('RW-1', simulator)))
  await book(app, { kind: 'mount-drum', drum, line: 'RW-1', mounting: null })
  await untilFound(() => truth.find((event) => event.kind === 'cut'))
  const [spark] = await untilFound(async () => {
    const { sparks } = await shows(app, 'RW-1')
    return sparks.length > 0 ? sparks : undefined
  })
  const lengthUm = spark!.fromUm + 1_000_000
  await book(app, { kind: 'cut-off', drum, line: 'RW-1', lengthUm, use: 'scrap', cause: 'fault' })
  const after = await untilFound(async () => {
    const now = await shows(app, 'RW-1')
    return now.sparks.some(({ id }) => id === spark!.id) ? undefined : now
  })
  expect(after.notices.map(({ text }) => text).join(' ')).toContain(
    'was not answered and lies in what was cut off',
  )
  const stored = (await app.http.inject({ url: `/api/floor/sparks/${spark!.id}` })).json()
  expect(stored).toMatchObject({ state: 'cut off', drum })
})

it('a line without signals that are on says so, and nothing is connected to', async () => {
  const store = await openStore(await emptyFolder())
  const app = await buildApp(store.db)
  onTestFinished(async () => {
    await app.http.close()
    await store.close()
  })
  await app.works.open(await readWholeFolder(DEMO))
  expect(await shows(app, 'RW-1')).toMatchObject({ state: 'none', counterM: null, sparks: [] })
})
