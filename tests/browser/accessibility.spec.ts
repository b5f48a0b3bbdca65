import { expect, type Page } from '@playwright/test'
import { bookElsewhere, eventsOf, focusFirstCut, mountedDrum, planned, scan } from './hall.ts'
import { test } from './lastmetre.ts'
import { contrastViolations, violations } from './violations.ts'

/** No rule is broken on the page as it stands, in light and, of the one that hangs on colours, in dark. */
async function expectSound(page: Page, where: string): Promise<void> {
  await page.emulateMedia({ colorScheme: 'light', reducedMotion: 'reduce' })
  expect(await violations(page), where).toEqual([])
  await page.emulateMedia({ colorScheme: 'dark', reducedMotion: 'reduce' })
  expect(await contrastViolations(page), `${where}, dark`).toEqual([])
}

/** Goes to addresses of one place, each of which has its question answered before it is looked at. */
async function expectAllSound(page: Page, addresses: string[]): Promise<void> {
  for (const address of addresses) {
    await page.goto(address)
    // only what stands behind the # may differ: then nothing is loaded anew, and what was asked before may still stand there
    await expect(page.locator('.question-links [aria-current], .place-name').first()).toBeVisible()
    await expect(page.locator('.skeleton')).toHaveCount(0)
    await expect(page.locator('.sentence, .asked').first()).toBeVisible()
    await expectSound(page, address)
  }
}

/** What makes every question of the records have an answer: a coil that was shipped and complained about, a failed check, a record that waits. */
async function filledRecords(page: Page): Promise<string> {
  const coil = {
    ...{ order: '7105', orderLine: 1, piece: null, part: null, count: 1, putup: 'C-220' },
    ...{ measuredUm: 25_100_000, uncUm: 20_000, trimUm: 0, counterM: 25.1, markOuter: null, markInner: null },
    inspection: 'as shown',
  }
  const line = 'RW-1'
  const drum = 'Y1'
  await bookElsewhere(page, {
    ...{ kind: 'receive-drum', drum, origin: 'goods in', cable: 'C081-50', lot: 'LZ-1' },
    ...{ drumKind: 'process_drum', putup: 'PR-1250', lengthUm: 100_000_000, lengthUncUm: 200_000 },
    ...{ lengthHow: 'book', faults: [], rewinds: 0, grossKg: null, tareKg: null, endCaps: 'both' },
    marks: [{ fromUm: 0, toUm: 100_000_000, markFrom: 1000, markTo: 1100, printUnit: 'm' }],
    ...{ place: 'A01-1', status: 'free', reason: null },
  })
  await bookElsewhere(page, { kind: 'mount-drum', drum, line, mounting: null })
  await bookElsewhere(page, { kind: 'cut-pieces', drum, line, mounting: null, pieces: [coil, coil] })
  const cut = (await eventsOf(page)).findLast(({ body }) => body.kind === 'pieces-cut')?.body
  const serial = cut?.kind === 'pieces-cut' ? (cut.pieces[0]?.serial ?? '') : ''
  const spoilt = cut?.kind === 'pieces-cut' ? (cut.pieces[1]?.serial ?? '') : ''
  await bookElsewhere(page, { kind: 'spoil-piece', serial: spoilt, cause: 'spoiled' })
  await bookElsewhere(page, { kind: 'ship-pieces', shipment: 'S-0001', serials: [serial] })
  await bookElsewhere(page, {
    kind: 'put-drum-away',
    drum,
    line,
    place: 'A01-2',
    endCaps: 'both',
    markRead: null,
  })
  await bookElsewhere(page, { kind: 'count-drum', drum, foundUm: 40_000_000, foundUncUm: 100_000 })
  await bookElsewhere(page, {
    ...{ kind: 'open-complaint', serial, claim: 'short', claimedUm: 24_700_000, method: 'tape' },
    ...{ uncUm: 100_000, note: null },
  })
  await bookElsewhere(page, {
    ...{ kind: 'record-check', what: 'spark tester', subject: line, passed: false, figures: [], note: null },
  })
  const late = {
    ...{ key: 'late.1', at: new Date().toISOString(), station: 'T9', planId: null, corrects: null },
    body: { kind: 'mount-drum', drum: 'D999', line, mounting: null },
  }
  await page.request.post('/api/ledger/commands', { data: { commands: [late], late: true } })
  return serial
}

test('plan, orders, stock, bench and works are sound, in light and dark', async ({ page }) => {
  test.setTimeout(300_000)
  await planned(page)
  const open = {
    '/plan': () => focusFirstCut(page),
    '/orders': () => page.locator('.row-button').first().click(),
    '/stock': () => page.locator('.strip-item').first().focus(),
  }
  for (const [place, openFirst] of Object.entries(open)) {
    await page.goto(place)
    await expect(page.locator('.sentence').first()).toBeVisible()
    await openFirst()
    if (place !== '/orders') await expect(page.locator('.card')).toBeVisible()
    await expectSound(page, place)
  }
  await expectAllSound(
    page,
    ['goods-in', 'tests', 'count', 'shelf', 'send'].map((view) => `/stock#${view}`),
  )
  await expectAllSound(
    page,
    ['mounting-1', 'counter', 'run'].map((view) => `/line#${view}`),
  )
  await expectAllSound(
    page,
    ['today', 'loss', 'judge', 'sets'].map((view) => `/bench#${view}`),
  )
  await expectAllSound(page, ['/our-works'])
})

test('the tablet at the line is sound with every panel, with the server away, and in light and dark', async ({
  page,
}) => {
  test.setTimeout(300_000)
  await page.setViewportSize({ width: 1024, height: 768 })
  await page.goto('/line?view=now&line=RW-1')
  await expect(page.getByText('No plan is in force in the hall.')).toBeVisible()
  await expectSound(page, 'no plan')
  const { drum } = await mountedDrum(page)
  for (const letter of ['p', 'f', 't', 'd', 'w', 'r', 'm']) {
    await page.keyboard.press(letter)
    await expect(page.locator('.floor-panel'), letter).toBeVisible()
    await expectSound(page, `panel ${letter}`)
    // what is cut now stays in sight above the open question
    await expect(page.locator('.floor-figure.huge dd')).toBeInViewport()
    await page.keyboard.press('Escape')
  }
  await scan(page, 'X-NOT-KNOWN')
  await expectSound(page, 'a scan that is not known')
  await page.context().setOffline(true)
  await page.keyboard.press('a')
  await expect(page.getByText(/^Offline: 1 record waits/)).toBeVisible()
  await expectSound(page, `${drum} without the server`)
})

test('the records are sound with and without a ledger, in light and dark', async ({ page }) => {
  test.setTimeout(300_000)
  const views = ['follow', 'recall', 'balance', 'due', 'complaints', 'waiting']
  await page.goto('/plan')
  await expectAllSound(page, ['/records#balance', '/records#follow/X-1'])
  const serial = await filledRecords(page)
  const answers = [
    `follow/${serial}`,
    'follow/Y1',
    'follow/LZ-1',
    'recall/strip/Y1/20/30',
    `complaints/${serial}`,
  ]
  await expectAllSound(
    page,
    [...views, ...answers].map((view) => `/records#${view}`),
  )
  await page.goto(`/records#follow/${serial}`)
  await page.reload()
  // the planning day of the demo, not the day of the clock
  await expect(page.getByRole('table', { name: /History/ })).toContainText('3 Mar 2031')
})

test('who is at this station is asked soundly, in light and dark', async ({ page }) => {
  await page.goto('/our-works')
  const owner = { account: 'K-01', name: `Ada ${'Langname'.repeat(12)}`, role: 'owner', pin: '402917' }
  expect((await page.request.post('/api/accounts', { data: owner })).status()).toBe(200)
  await page.goto('/line')
  await expect(page.getByRole('heading', { level: 1 })).toContainText('who is at this station')
  await expectSound(page, 'sign in')
  await page.request.post('/api/sign-in', { data: { badge: owner.account, pin: owner.pin } })
  await page.goto('/our-works')
  await expect(page.getByRole('heading', { name: 'Who may do what' })).toBeVisible()
  await expectSound(page, 'accounts')
})

test('no place is wider than a screen of 320 pixels', async ({ page }) => {
  await page.setViewportSize({ width: 320, height: 640 })
  for (const place of ['/plan', '/orders', '/stock', '/our-works', '/records#balance', '/line?view=now']) {
    await page.goto(place)
    await expect(page.locator('.sentence').first()).toBeVisible()
    const beyondPx = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
    expect(beyondPx, place).toBeLessThanOrEqual(0)
  }
})

test('every place and the skip link are reached by keyboard, with the focus in sight', async ({ page }) => {
  await page.goto('/plan')
  await expect(page.locator('.sentence')).toBeVisible()
  await page.keyboard.press('Tab')
  await expect(page.locator(':focus')).toHaveText('Go to the content')
  await page.keyboard.press('Enter')
  await expect(page.locator('main')).toBeFocused()
  for (const place of ['Orders', 'Stock', 'Our works']) {
    await page.getByRole('link', { name: place, exact: true }).focus()
    await page.keyboard.press('Enter')
    await expect(page.getByRole('heading', { level: 1 })).toContainText(place)
    await expect(page.locator('main')).toBeFocused()
    await page.keyboard.press('Tab')
    const outlinePx = await page.evaluate(() =>
      Number.parseFloat(getComputedStyle(document.activeElement!).outlineWidth),
    )
    expect(outlinePx, place).toBeGreaterThanOrEqual(2)
  }
})
