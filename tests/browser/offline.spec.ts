import { expect, type Page } from '@playwright/test'
import type { CommandsRequest, FloorAhead } from '../../src/works/floor-api.ts'
import { bookElsewhere, eventsOf, floorOf, mountedDrum, scan } from './hall.ts'
import { test } from './lastmetre.ts'

test.use({ viewport: { width: 1024, height: 768 } })

const heading = (page: Page) => page.getByRole('heading', { name: /^Now:/ })

async function cutAsShown(page: Page): Promise<void> {
  const shown = (await page.locator('.floor-now').textContent()) ?? ''
  // two presses closer than half a second are one
  await page.waitForTimeout(600)
  await page.keyboard.press('a')
  await expect(page.locator('.floor-now')).not.toHaveText(shown)
}

test('without the network cuts go on, a reload loses nothing, and all is sent once and in order', async ({
  page,
  context,
}) => {
  const { line } = await mountedDrum(page)
  // the shell is kept by the browser
  await page.evaluate(async () => void (await navigator.serviceWorker.ready))
  await cutAsShown(page)
  await expect.poll(async () => (await floorOf(page, line)).cuts[0]?.use).toBe('piece')
  const before = await eventsOf(page)

  await context.setOffline(true)
  await cutAsShown(page)
  await expect(page.getByText('Offline: 1 record waits.')).toBeVisible()
  const tag = /Write (\w{4}-\d+) on the coil|on the coil: (\w{4}-\d+)/
  await expect(page.getByText(tag).first()).toBeVisible()
  await cutAsShown(page)
  await expect(page.getByText('Offline: 2 records wait.')).toBeVisible()
  const shown = (await page.locator('.floor-now').textContent()) ?? ''

  // loaded again with no server: the same cut in hand, the same records
  await page.reload()
  await expect(heading(page)).toBeVisible()
  await expect(page.locator('.floor-now')).toHaveText(shown)
  await expect(page.getByText('Offline: 2 records wait.')).toBeVisible()
  expect(await page.getByText(/on the coil/).count()).toBeGreaterThan(0)

  await context.setOffline(false)
  await expect(page.getByText(/^Offline:/)).toHaveCount(0)
  await expect.poll(async () => (await eventsOf(page)).length).toBe(before.length + 2)
  const sent = (await eventsOf(page)).slice(before.length)
  expect(new Set(sent.map((e) => e.key)).size).toBe(2)
  const numbers = sent.map((e) => Number(e.key.split('-')[1]))
  expect(numbers[1]).toBe((numbers[0] ?? 0) + 1)
  // the coil that has a number by hand is told its serial
  await expect(page.getByText(/^Coil \w{4}-\d+ is \d{2}-\d{6}-\d\./).first()).toBeVisible()
})

test('an answer that is lost on the way does not book twice, and two pages do not send twice', async ({
  page,
  context,
}) => {
  const { line } = await mountedDrum(page)
  const second = await context.newPage()
  await second.goto(`/line?view=now&line=${line}`)
  await expect(heading(second)).toBeVisible()
  const sent: string[] = []
  let lost = 0
  await context.route('**/api/ledger/commands', async (route) => {
    const { commands }: CommandsRequest = route.request().postDataJSON()
    sent.push(...commands.map((c) => c.key))
    const response = await route.fetch()
    if (lost++ === 0) await route.abort('connectionreset')
    else await route.fulfill({ response })
  })
  const before = (await eventsOf(page)).length
  await cutAsShown(second)
  await expect.poll(() => sent.length).toBe(2)
  expect(sent[0]).toBe(sent[1])
  await expect(second.getByText(/records? on the way/)).toHaveCount(0)
  await expect(page.getByText(/records? on the way/)).toHaveCount(0)
  const keys = (await eventsOf(page)).slice(before).map((e) => e.key)
  expect(keys).toEqual([sent[0]])
  expect(sent).toHaveLength(2)
})

test('a record that the hall can no longer take is kept and shown with what the server said', async ({
  page,
  context,
}) => {
  const { line, drum } = await mountedDrum(page)
  await context.setOffline(true)
  await cutAsShown(page)
  await expect(page.getByText('Offline: 1 record waits.')).toBeVisible()
  // meanwhile the drum was put away from another station: this page only is without a network
  const hall = await page.context().browser()?.newContext()
  const elsewhere = (await hall?.newPage()) as Page
  await elsewhere.goto(new URL('/our-works', page.url()).href)
  await bookElsewhere(elsewhere, {
    ...{ kind: 'put-drum-away', drum, line, place: 'A01-1', endCaps: 'both', markRead: null },
  })
  await context.setOffline(false)
  await expect(page.getByText(/^Not booked: cut 1/)).toBeVisible()
  await expect(page.getByText(/kept word for word as number \d+ for a person to settle/)).toBeVisible()
  await page.getByRole('button', { name: 'Seen' }).click()
  await expect(page.getByText(/^Not booked:/)).toHaveCount(0)
  await hall?.close()
})

test('without the network the next drum is mounted with its cuts, and another one is said not to be known', async ({
  page,
  context,
}) => {
  const { line, drum } = await mountedDrum(page)
  const ahead: FloorAhead = await (await page.request.get(`/api/floor/ahead?line=${line}`)).json()
  const next = ahead.drums[0]!
  const first = next.cuts[0]!
  const before = (await eventsOf(page)).length
  await page.evaluate(async () => void (await navigator.serviceWorker.ready))
  // what is ahead is kept by the station before the network drops
  await expect.poll(() => keptAhead(page, line)).toBeGreaterThan(1)

  await context.setOffline(true)
  await page.getByRole('button', { name: 'Put away' }).click()
  await scan(page, 'A01-1')
  await page.getByRole('button', { name: 'Put it there' }).click()
  await expect(page.getByText(`Scan ${next.drum.drum}.`)).toBeVisible()
  await expect(page.getByText(/The cuts of the next drums are kept here as well: /)).toBeVisible()

  await scan(page, 'D-UNKNOWN')
  await expect(page.getByText(/^D-UNKNOWN is not known here without the network/)).toBeVisible()
  await scan(page, next.drum.drum)
  await expect(heading(page)).toBeVisible()
  await expect(page.locator('.floor-now')).toContainText(first.row.declared)
  await expect(page.getByRole('figure', { name: `Drum ${next.drum.drum}` })).toBeVisible()
  // up to the first piece, that has a number by hand
  const cuts = next.cuts.slice(0, next.cuts.findIndex((c) => c.asShown.kind === 'cut-pieces') + 1)
  for (const _ of cuts) await cutAsShown(page)
  await expect(page.getByText(/on the coil/).first()).toBeVisible()
  // a reload without the server loses nothing of it
  const shown = (await page.locator('.floor-now').textContent()) ?? ''
  await page.reload()
  await expect(page.locator('.floor-now')).toHaveText(shown)

  await context.setOffline(false)
  await expect(page.getByText(/^Offline:/)).toHaveCount(0)
  await expect
    .poll(async () => (await eventsOf(page)).length)
    .toBeGreaterThanOrEqual(before + 2 + cuts.length)
  const booked = (await eventsOf(page))
    .slice(before)
    .map(({ body }) => body)
    .filter(({ kind }) => kind !== 'plan-released')
  expect(booked.slice(0, 2)).toMatchObject([
    { kind: 'drum-put-away', drum },
    { kind: 'drum-mounted', drum: next.drum.drum, mounting: next.drum.mounting },
  ])
  const off = booked.slice(2, 2 + cuts.length)
  expect(off.at(-1)).toMatchObject({ kind: 'pieces-cut', drum: next.drum.drum })
  expect(off.map((body) => 'drum' in body && body.drum)).toEqual(cuts.map(() => next.drum.drum))
  await expect(page.getByText(/^Not booked:/)).toHaveCount(0)
})

/** Drums of which this station keeps the cuts. */
function keptAhead(page: Page, line: string): Promise<number> {
  return page.evaluate(
    (key) =>
      new Promise<number>((resolve, reject) => {
        const opening = indexedDB.open('lastmetre-station')
        opening.onerror = () => reject(opening.error)
        opening.onsuccess = () => {
          const db = opening.result
          const asked = db.transaction('kept').objectStore('kept').get(key)
          asked.onsuccess = () => {
            db.close()
            resolve((asked.result as FloorAhead | undefined)?.drums.length ?? 0)
          }
        }
      }),
    `ahead:${line}`,
  )
}
