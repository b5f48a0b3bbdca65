import { expect, it } from 'vitest'
import { readWholeFolder } from '../../src/server/kept-more.ts'
import { Hall, storePlan } from '../floor/hall.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { until } from '../support/until.ts'
import { cutOne, eventsOf, printer, withPrinter } from './label-hall.ts'
import { openServerAt } from './shared-server.ts'

it('a label that was not printed when the server ended is printed when it is there again, and none twice', {
  timeout: 240_000,
}, async () => {
  const data = await emptyFolder()
  const label = await printer()
  await label.turnOn()
  const first = await openServerAt({ folder: data, url: null })
  await first.app.works.open(await readWholeFolder(await withPrinter(label.port)))
  const hall = new Hall(first.app, await storePlan(first.db), 'a')
  await hall.release()
  const printed = await cutOne(hall)
  await until(
    () => eventsOf(first.db, 'label-printed'),
    (labels) => labels.length === 1,
  )
  await label.turnOff()
  const waiting = await cutOne(hall)
  await until(
    () => hall.view('RW-1'),
    (view) => /LP-9: .+, 1 wait/.test(view.printer ?? ''),
  )
  await first.close()

  await label.turnOn()
  const again = await openServerAt({ folder: data, url: null })
  await again.app.http.ready()
  const labels = await until(
    () => eventsOf(again.db, 'label-printed'),
    (found) => found.length >= 2,
  )
  expect(labels.map(({ body }) => 'serial' in body && body.serial)).toEqual([printed, waiting])
  await again.close()
  const third = await openServerAt({ folder: data, url: null })
  await third.app.http.ready()
  await cutOne(new Hall(third.app, hall.planId, 'c'))
  await until(
    () => eventsOf(third.db, 'label-printed'),
    (found) => found.length >= 3,
  )
  expect(label.got).toHaveLength(3)
})
