import { expect, type Page } from '@playwright/test'
import { test } from './lastmetre.ts'

/** Presses Tab until the thing in focus matches; by keyboard alone means that this must lead there. */
async function tabTo(page: Page, selector: string, most = 60): Promise<void> {
  for (let i = 0; i < most; i++) {
    await page.keyboard.press('Tab')
    if (await page.evaluate((s) => document.activeElement?.matches(s) ?? false, selector)) return
  }
  throw new Error(`Tab does not lead to ${selector}`)
}

async function planByKeyboard(page: Page): Promise<void> {
  await page.goto('/plan')
  await expect(page.getByRole('button', { name: 'Plan the works' })).toBeVisible()
  await tabTo(page, 'button.main-action')
  await page.keyboard.press('Enter')
  await expect(page.getByText('Below: the best plan so far.')).toBeVisible()
}

test('the demo is planned and read by keyboard alone', async ({ page }) => {
  await planByKeyboard(page)
  await expect(page.getByRole('button', { name: 'Plan the works' })).toBeVisible({ timeout: 60_000 })
  await expect(page.getByTestId('plan-sentence')).toContainText('of 120 order lines are served in full')

  // what the issue says of kelderwick: no clean stretch is long enough for 7118/1, no lot holds both pieces of 7117/1
  const unserved = page.getByRole('region', { name: /^Not served/ })
  await expect(unserved).toContainText('7118/1')
  await expect(unserved).toContainText('7117/1')
  await expect(page.getByRole('rowheader', { name: /^Cost of the plan/ })).toBeVisible()
  await expect(page.getByText('Any plan must cost at least')).toBeVisible()

  // a band chooses its order line …
  await tabTo(page, '.strip-item')
  for (let i = 0; i < 20; i++) {
    await page.keyboard.press('Enter')
    if (await page.locator('.plan-lines tr.chosen').count()) break
    await page.keyboard.press('ArrowRight')
  }
  const chosen = await page.locator('.strip-item:focus').textContent()
  const line = /order (\S+\/\d+)/.exec(chosen ?? '')?.[1]
  await expect(page.locator('.plan-lines tr.chosen .row-button')).toHaveText(line!)

  // … and the other way round
  await page.locator('.plan-lines .row-button[tabindex="0"]').focus()
  await page.keyboard.press('Home')
  await page.keyboard.press('Enter')
  const other = await page.locator('.plan-lines tr.chosen .row-button').textContent()
  expect(other).not.toBe(line)
  const band = page.locator('.strip-item.chosen').first()
  await expect(band).toHaveAttribute('aria-pressed', 'true')
  await expect(band).toContainText(`order ${other}`)
})

test('a plan is stopped half-way with the best so far, and its pack can be downloaded', async ({ page }) => {
  await planByKeyboard(page)
  await tabTo(page, 'button.button')
  await expect(page.locator(':focus')).toHaveText('Stop with the best so far')
  await page.keyboard.press('Enter')
  await expect(page.getByText('Stopped.', { exact: true })).toBeVisible()
  const download = page.waitForEvent('download')
  await page.getByRole('link', { name: 'Download the pack' }).click()
  expect((await download).suggestedFilename()).toMatch(/\.zip$/)
  expect(await (await download).failure()).toBeNull()
})

test('a server that is gone is said so, and nothing on the screen is lost', async ({ page, server }) => {
  await page.goto('/orders')
  await page.getByRole('button', { name: 'Paste box' }).click()
  await page.getByLabel(/^Order lines with a header row/).fill('order;line\n9001;1')
  await server.end()
  await expect(page.getByText('The server does not answer.', { exact: true })).toBeVisible()
  await expect(page.getByLabel(/^Order lines with a header row/)).toHaveValue('order;line\n9001;1')
})
