import { expect, type Page } from '@playwright/test'
import { bookElsewhere, eventsOf, floorOf, mountedDrum, releasedPlan, scan, typeSlowly } from './hall.ts'
import { test } from './lastmetre.ts'
import { violations } from './violations.ts'

/** Counts what a person does: presses of a finger, letters, and scans. */
function counted(page: Page) {
  let deeds = 0
  return {
    press: async (letter: string) => {
      deeds++
      await page.keyboard.press(letter)
    },
    get deeds() {
      return deeds
    },
  }
}

const heading = (page: Page) => page.getByRole('heading', { name: /^Now:/ })
const stopAt = (page: Page) => page.locator('.floor-figure.huge dd')

test.use({ viewport: { width: 1024, height: 768 } })

test('a drum is scanned, and each piece takes at most two taps', async ({ page }) => {
  const line = await releasedPlan(page)
  const { nextDrum } = await floorOf(page, line)
  // a wrong drum says which is wanted
  const refused = page.getByRole('status').getByText(`Wanted: ${nextDrum?.drum}`)
  await scan(page, 'D999')
  await expect(refused).toBeVisible()
  expect((await floorOf(page, line)).mounted).toBeNull()
  await scan(page, nextDrum?.drum ?? '')
  await expect(heading(page)).toBeVisible()
  // the cuts are known ahead, so they stand there before the mounting is booked
  await expect.poll(async () => (await floorOf(page, line)).mounted?.drum).toBe(nextDrum?.drum)
  await expect(page.getByText(/records? on the way/)).toHaveCount(0)

  const hand = counted(page)
  const before = (await eventsOf(page)).length
  for (let cut = 0; cut < 4; cut++) {
    const shown = (await page.locator('.floor-now').textContent()) ?? ''
    // two presses closer than half a second are one
    await page.waitForTimeout(600)
    await hand.press('a')
    await expect(page.locator('.floor-now')).not.toHaveText(shown)
    await expect.poll(async () => (await eventsOf(page)).length).toBe(before + cut + 1)
  }
  const pieces = (await eventsOf(page)).flatMap(({ body }) => (body.kind === 'pieces-cut' ? body.pieces : []))
  const cuts = (await eventsOf(page)).length - before
  expect(pieces.length).toBeGreaterThanOrEqual(2)
  expect(hand.deeds).toBeLessThanOrEqual(2 * pieces.length)
  expect(hand.deeds).toBe(cuts)
  expect(pieces[0]?.serial).toMatch(/^\d{2}-\d{6}-\d$/)
  await expect(page.getByText(pieces[0]?.serial ?? '')).toBeVisible()
})

test('a scan never falls into a number field, and typing still does', async ({ page }) => {
  const { line, drum } = await mountedDrum(page)
  const field = page.getByLabel('Counter reads, m')
  await field.focus()
  await typeSlowly(page, '4.9')
  await expect(field).toHaveValue('4.9')
  await scan(page, '31-000123-7')
  await expect(field).toHaveValue('4.9')
  const known = page.getByText(`${drum} is on the line already.`)
  await scan(page, drum)
  await expect(known).toBeVisible()
  await expect(field).toHaveValue('4.9')
  // typed figures are booked by Enter; the mark follows the reading
  await expect(page.getByRole('button', { name: 'Cut, as typed' })).toBeVisible()
  await field.focus()
  await page.keyboard.press('Enter')
  await expect
    .poll(async () => (await eventsOf(page)).at(-1)?.body)
    .toMatchObject({ kind: 'length-cut-off', use: 'scrap' })
  const cut = (await eventsOf(page)).at(-1)?.body
  const lengthUm = cut?.kind === 'length-cut-off' ? cut.lengthUm : 0
  const { errorRatio } = await floorOf(page, line)
  expect(Math.abs(lengthUm - 4.9e6 / (1 + errorRatio))).toBeLessThan(1000)
})

test('a fault changes the plan, and the cut in hand stays until a person takes the new one', async ({
  page,
}) => {
  const { line, drum } = await mountedDrum(page)
  await page.keyboard.press('a')
  await expect.poll(async () => (await floorOf(page, line)).cuts[0]?.use).toBe('piece')
  await expect(page.locator('.floor-now')).toContainText('order')
  const shown = (await stopAt(page).textContent()) ?? ''
  // another station finds a fault in the middle of the cut in hand
  const first = (await floorOf(page, line)).cuts[0]
  const atUm = Math.round((first?.takenUm ?? 0) / 2)
  await bookElsewhere(page, {
    kind: 'find-fault',
    ...{ drum, code: 'LUMP', severity: 'cut_out', what: null, line, signal: false, foundAt: null },
    place: { by: 'counter', fromUm: atUm, toUm: atUm },
  })
  await expect(page.getByText('The rest was planned anew.')).toBeVisible()
  await expect(page.getByRole('heading', { name: /^The plan has changed/ })).toBeVisible()
  await expect(stopAt(page)).toHaveText(shown)
  expect(await violations(page)).toEqual([])
  await page.keyboard.press('n')
  await expect(page.getByRole('heading', { name: /^The plan has changed/ })).toHaveCount(0)
  const now = (await floorOf(page, line)).cuts[0]
  await expect(stopAt(page)).toContainText((now?.stopAtM ?? 0).toFixed(3))
})

test('every deed has its button of 20 mm, its key, and no accessibility violation', async ({ page }) => {
  test.setTimeout(300_000)
  await mountedDrum(page)
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' })
    expect(await violations(page), colorScheme).toEqual([])
  }
  const deeds = ['Short', 'Long', 'Spoiled', 'Fault here, now', 'Stopped', 'Drum change', 'Put away']
  for (const size of [
    { width: 1024, height: 768 },
    { width: 768, height: 1024 },
    { width: 1440, height: 900 },
  ]) {
    await page.setViewportSize(size)
    for (const name of ['As shown', ...deeds, 'Ran out here', 'More left']) {
      const box = await page.getByRole('button', { name, exact: true }).boundingBox()
      // 20 mm at 96 px to the inch
      expect(box?.width, name).toBeGreaterThanOrEqual(75.6)
      expect(box?.height, name).toBeGreaterThanOrEqual(75.6)
      expect((box?.y ?? 0) + (box?.height ?? 0), name).toBeLessThanOrEqual(size.height)
    }
    const beyondPx = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
    expect(beyondPx).toBeLessThanOrEqual(0)
  }
  for (const letter of ['p', 'f', 't', 'd', 'w', 'r', 'm']) {
    await page.keyboard.press(letter)
    await expect(page.locator('.floor-panel'), letter).toBeVisible()
    expect(await violations(page), letter).toEqual([])
    await page.keyboard.press('Escape')
    await expect(page.locator('.floor-panel')).toHaveCount(0)
  }
  // letters can be switched off
  await page.getByRole('button', { name: /^Letter keys/ }).click()
  await page.keyboard.press('f')
  await page.waitForTimeout(100)
  await expect(page.locator('.floor-panel')).toHaveCount(0)
})
