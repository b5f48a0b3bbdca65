import { expect, type Page } from '@playwright/test'
import type { LedgerEvent } from '../../src/ledger/event.ts'
import type { AsidesAnswer } from '../../src/works/floor-api.ts'
import { eventsOf, mountedDrum, scan } from './hall.ts'
import { test } from './lastmetre.ts'
import { violations } from './violations.ts'

const OWNER = { account: 'K-01', name: 'Ada Owner', role: 'owner', pin: '402917' }
const LINE = { account: 'K-07', name: `Lena ${'Langname'.repeat(12)}`, role: 'line', pin: '730514' }
const OTHER = { account: 'K-08', name: 'M. Verbeke', role: 'line', pin: '618403' }
/** No hand is as fast as a scanner: keys further apart than this are typed. */
const HAND_MS = 90

/** Through the screens' own server, as the owner would: first the owner, then the others. */
async function makeAccounts(page: Page, url: string): Promise<void> {
  const post = async (path: string, data: object) => {
    const answer = await page.request.post(`${url}${path}`, { data })
    expect(answer.status(), await answer.text()).toBe(200)
  }
  await post('/api/accounts', OWNER)
  await post('/api/sign-in', { badge: OWNER.account, pin: OWNER.pin })
  await post('/api/accounts', LINE)
  await post('/api/sign-out', {})
}

/** On the screen of whoever comes to the station. */
async function signInOn(page: Page, { account, pin }: { account: string; pin: string }): Promise<void> {
  await page.getByLabel('Badge code', { exact: true }).fill(account)
  await page.getByLabel('PIN', { exact: true }).fill(pin)
  await page.getByRole('button', { name: 'Sign in' }).click()
}

/** The line with a drum on it, and K-07 signed in at it; two of the role line have accounts. */
async function lineOfK07(page: Page, url: string): Promise<void> {
  await makeAccounts(page, url)
  const post = (path: string, data: object) => page.request.post(`${url}${path}`, { data })
  await post('/api/sign-in', { badge: OWNER.account, pin: OWNER.pin })
  await post('/api/accounts', OTHER)
  await mountedDrum(page)
  await page.evaluate(async () => void (await navigator.serviceWorker.ready))
  await page.getByRole('button', { name: 'Sign out' }).click()
  await signInOn(page, LINE)
  await expect(page.getByRole('heading', { name: /^Now: cut 1/ })).toBeVisible()
}

/** The dangers stand there to be read, by whoever has come. */
async function readDangers(page: Page): Promise<void> {
  const dangers = page.getByRole('heading', { name: 'Dangers of this step' })
  await expect(dangers).toBeVisible()
  await page.getByRole('button', { name: 'Read, for this shift' }).click()
  await expect(dangers).toHaveCount(0)
}

async function cutAsShown(page: Page): Promise<void> {
  const shown = (await page.locator('.floor-now').textContent()) ?? ''
  // two presses closer than half a second are one
  await page.waitForTimeout(600)
  await page.keyboard.press('a')
  await expect(page.locator('.floor-now')).not.toHaveText(shown)
}

const cutsOf = (events: LedgerEvent[]) =>
  events.filter((e) => ['pieces-cut', 'length-cut-off', 'remnant-wound-off'].includes(e.body.kind))

test('without the network each record stays whose it is, and is booked to them whoever sends it', async ({
  page,
  context,
  server,
}) => {
  await page.setViewportSize({ width: 1024, height: 768 })
  await lineOfK07(page, server.url)
  // the owner read them here; K-07 does so for himself
  await readDangers(page)
  await context.setOffline(true)
  await cutAsShown(page)
  await expect(page.getByText('Offline: 1 record waits.')).toBeVisible()
  // the shift changes: nobody can look at a PIN
  await page.getByRole('button', { name: 'Sign out' }).click()
  await signInOn(page, OTHER)
  await page.screenshot({ path: 'test-results/offline-hand-over.png', fullPage: true })
  expect(await violations(page)).toEqual([])
  await page.getByRole('button', { name: `Go on as ${OTHER.account} without the server` }).click()
  await expect(page.getByText(`${OTHER.account} · PIN not looked at yet`)).toBeVisible()
  await readDangers(page)
  await cutAsShown(page)
  await expect(page.getByText('Offline: 2 records wait.')).toBeVisible()
  await page.reload()
  await expect(page.getByText(`made by ${LINE.name}`)).toBeVisible()
  await expect(page.getByText(/^Dangers of this step, read at/)).toBeVisible()

  await context.setOffline(false)
  await expect(page.getByText(`The session of ${OTHER.account} has ended.`)).toBeVisible()
  await signInOn(page, OTHER)
  await expect(page.getByText(`${OTHER.name} · line`)).toBeVisible()
  await expect.poll(async () => cutsOf(await eventsOf(page)).length).toBe(2)
  expect(cutsOf(await eventsOf(page)).map((e) => [e.actor, e.sentBy ?? null])).toEqual([
    [LINE.account, OTHER.account],
    [OTHER.account, null],
  ])
})

test('what only a sign-in can prove waits for it in plain sight, and can be left to a person', async ({
  page,
  context,
  server,
}) => {
  await page.setViewportSize({ width: 1024, height: 768 })
  await lineOfK07(page, server.url)
  await context.setOffline(true)
  await page.getByRole('button', { name: 'Sign out' }).click()
  await signInOn(page, OTHER)
  await page.getByRole('button', { name: `Go on as ${OTHER.account} without the server` }).click()
  await cutAsShown(page)
  await context.setOffline(false)
  // K-08 has gone home; K-07 comes back and goes on
  await expect(page.getByText(`The session of ${OTHER.account} has ended.`)).toBeVisible()
  await signInOn(page, LINE)
  await expect(page.getByText(`1 record of ${OTHER.account} waits for their sign-in.`)).toBeVisible()
  expect(await violations(page)).toEqual([])
  await page.screenshot({ path: 'test-results/waits-for-maker.png', fullPage: true })
  expect(cutsOf(await eventsOf(page))).toEqual([])
  await page.getByRole('button', { name: 'Set aside, send the rest' }).click()
  await expect(page.getByText(/^Not booked: cut 1/)).toBeVisible()
  const { asides }: AsidesAnswer = await (await page.request.get(`${server.url}/api/ledger/asides`)).json()
  expect(asides.map((a) => [a.commandKind, a.actor])).toEqual([
    [expect.stringMatching(/^cut-/), LINE.account],
  ])
  expect(asides[0]?.why).toContain(`“${OTHER.account}”`)
  expect(cutsOf(await eventsOf(page))).toEqual([])
})

test('a session has its time without the network too, and nothing that is recorded after it is set aside', async ({
  page,
  context,
  server,
}) => {
  await page.setViewportSize({ width: 1024, height: 768 })
  await lineOfK07(page, server.url)
  await context.setOffline(true)
  await cutAsShown(page)
  await expect(page.getByText('Offline: 1 record waits.')).toBeVisible()
  // twelve hours later
  await page.evaluate(() => {
    const kept = JSON.parse(localStorage.getItem('lastmetre.me') ?? '{}')
    if (!(kept.untilMs > Date.now())) throw new Error('The page does not know when its session ends.')
    localStorage.setItem('lastmetre.me', JSON.stringify({ ...kept, untilMs: Date.now() - 1 }))
  })
  await page.reload()
  // whose it was is said where their things are kept behind it: not where the old page noticed while it was left
  await expect(page.getByRole('heading', { level: 1 })).toContainText('who is at this station')
  await signInOn(page, LINE)
  await page.getByRole('button', { name: `Go on as ${LINE.account} without the server` }).click()
  await expect(page.getByText(`${LINE.account} · PIN not looked at yet`)).toBeVisible()
  await cutAsShown(page)
  await expect(page.getByText('Offline: 2 records wait.')).toBeVisible()

  await context.setOffline(false)
  await signInOn(page, OTHER)
  // the one that the session proves is booked, the other waits for its maker in plain sight
  await expect(page.getByText(`1 record of ${LINE.account} waits for their sign-in.`)).toBeVisible()
  await expect.poll(async () => cutsOf(await eventsOf(page)).length).toBe(1)
  await page.getByRole('button', { name: 'Sign out' }).click()
  await signInOn(page, LINE)
  await expect(page.getByText(`${LINE.name} · line`)).toBeVisible()
  await expect.poll(async () => cutsOf(await eventsOf(page)).length).toBe(2)
  expect(cutsOf(await eventsOf(page)).map((e) => [e.actor, e.sentBy ?? null])).toEqual([
    [LINE.account, OTHER.account],
    [LINE.account, null],
  ])
  const { asides }: AsidesAnswer = await (await page.request.get(`${server.url}/api/ledger/asides`)).json()
  expect(asides).toEqual([])
})

test('what is answered late about who was here does not undo a sign-in', async ({ page, server }) => {
  await makeAccounts(page, server.url)
  await page.goto('/line')
  await expect(page.getByRole('heading', { level: 1 })).toContainText('who is at this station')
  let answer = () => {}
  const held = new Promise<void>((resolve) => {
    answer = resolve
  })
  let asked = () => {}
  const isAsked = new Promise<void>((resolve) => {
    asked = resolve
  })
  await page.route('**/api/me', async (route) => {
    const response = await route.fetch()
    asked()
    await held
    await route.fulfill({ response })
  })
  await page.evaluate(() => window.dispatchEvent(new Event('online')))
  await isAsked
  await signInOn(page, LINE)
  await expect(page.getByText(`${LINE.name} · line`)).toBeVisible()
  const late = page.waitForResponse('**/api/me')
  answer()
  expect(await (await late).json()).toMatchObject({ account: null })
  // as long as a screen needs to change
  await page.waitForTimeout(500)
  await expect(page.getByText(`${LINE.name} · line`)).toBeVisible()
})

test('a badge is scanned, the PIN given on the pad, and signing out leaves nothing', async ({
  page,
  server,
}) => {
  await makeAccounts(page, server.url)
  await page.setViewportSize({ width: 1024, height: 768 })
  await page.goto('/line')
  await expect(page.getByRole('heading', { level: 1 })).toContainText('who is at this station')
  expect(await violations(page)).toEqual([])
  // 20 mm are 75.6 px of 1/96 inch.
  for (const key of await page.getByRole('group', { name: 'PIN pad' }).getByRole('button').all()) {
    const { width, height } = (await key.boundingBox())!
    expect(Math.min(width, height)).toBeGreaterThanOrEqual(75.6)
  }
  await scan(page, LINE.account)
  await expect(page.getByLabel('Badge code', { exact: true })).toHaveValue(LINE.account)
  for (const digit of LINE.pin) await page.getByRole('button', { name: digit, exact: true }).click()
  await page.getByRole('button', { name: 'Sign in' }).click()
  await expect(page.getByText(`${LINE.name} · line`)).toBeVisible()
  const beyondPx = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
  expect(beyondPx).toBeLessThanOrEqual(0)
  expect(await violations(page)).toEqual([])
  await page.getByRole('button', { name: 'Sign out' }).click()
  await expect(page.getByLabel('Badge code', { exact: true })).toBeFocused()
  await expect(page.getByText(LINE.name)).toHaveCount(0)
  expect((await page.request.get(`${server.url}/api/works`)).status()).toBe(401)
})

test('works by keyboard alone, and a scan never lands in the PIN', async ({ page, server }) => {
  await makeAccounts(page, server.url)
  await page.goto('/plan')
  await expect(page.getByLabel('Badge code', { exact: true })).toBeFocused()
  await page.keyboard.type('K-99', { delay: HAND_MS })
  await page.keyboard.press('Enter')
  await expect(page.getByLabel('PIN', { exact: true })).toBeFocused()
  await page.keyboard.type('12', { delay: HAND_MS })
  // the scanner, while the focus stands in the PIN
  await page.keyboard.type(OWNER.account)
  await page.keyboard.press('Enter')
  await expect(page.getByLabel('Badge code', { exact: true })).toHaveValue(OWNER.account)
  await expect(page.getByLabel('PIN', { exact: true })).toHaveValue('')
  await page.keyboard.type('111222', { delay: HAND_MS })
  await page.waitForTimeout(HAND_MS)
  await page.keyboard.press('Enter')
  await expect(page.getByRole('alert')).toContainText('Badge or PIN is wrong.')
  await expect(page.getByLabel('PIN', { exact: true })).toBeFocused()
  await page.keyboard.type(OWNER.pin, { delay: HAND_MS })
  await page.waitForTimeout(HAND_MS)
  await page.keyboard.press('Enter')
  await expect(page.getByText(`${OWNER.name} · owner`)).toBeVisible()
})

test('what was typed is there again when the same person signs in anew', async ({ page, server }) => {
  await makeAccounts(page, server.url)
  const signIn = async () => {
    await page.getByLabel('Badge code', { exact: true }).fill(OWNER.account)
    await page.getByLabel('PIN', { exact: true }).fill(OWNER.pin)
    await page.getByRole('button', { name: 'Sign in' }).click()
    await expect(page.getByRole('button', { name: 'Sign out' })).toBeVisible()
  }
  await page.goto('/our-works')
  await signIn()
  await page.getByLabel('Path of the folder on this machine').fill('half/a/path')
  await page.context().clearCookies()
  await page.getByRole('button', { name: 'Open it', exact: true }).click()
  await expect(page.getByText(`The session of ${OWNER.account} has ended.`)).toBeVisible()
  await signIn()
  await expect(page.getByLabel('Path of the folder on this machine')).toHaveValue('half/a/path')
})

test('the owner makes accounts on the screens, and other roles read whose a button is', async ({ page }) => {
  await page.goto('/our-works')
  await expect(page.getByText('There are no accounts')).toBeVisible()
  expect(await violations(page)).toEqual([])
  const fill = async (person: typeof OWNER) => {
    await page.getByLabel('Badge code, as the scanner reads it').fill(person.account)
    await page.getByLabel('Name', { exact: true }).fill(person.name)
    await page.getByLabel('PIN, 6 to 12 digits').fill(person.pin)
  }
  await fill(OWNER)
  await page.getByRole('button', { name: 'Make the owner’s account' }).click()
  await page.getByLabel('Badge code', { exact: true }).fill(OWNER.account)
  await page.getByLabel('PIN', { exact: true }).fill(OWNER.pin)
  await page.getByRole('button', { name: 'Sign in' }).click()
  await expect(page.getByRole('heading', { name: 'Who may do what' })).toBeVisible()
  await fill(LINE)
  await page.getByRole('button', { name: 'Make the account' }).click()
  await expect(page.getByText('may sign in.')).toBeVisible()
  expect(await violations(page)).toEqual([])
  await page.getByRole('button', { name: 'Sign out' }).click()
  await page.getByLabel('Badge code', { exact: true }).fill(LINE.account)
  await page.getByLabel('PIN', { exact: true }).fill(LINE.pin)
  await page.getByRole('button', { name: 'Sign in' }).click()
  await expect(page.getByRole('heading', { name: 'Who may do what' })).toBeVisible()
  await expect(page.getByRole('button', { name: 'Open the demo' })).toBeDisabled()
  await expect(
    page.getByText('Changing orders and the works is for planner or owner. You are signed in as line.'),
  ).toBeVisible()
  await expect(page.getByText('Making and closing accounts is for owner.')).toBeVisible()
  expect(await violations(page)).toEqual([])
})
