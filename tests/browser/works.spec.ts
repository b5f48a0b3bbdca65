import { expect, type Page } from '@playwright/test'
import { test } from './lastmetre.ts'

const HTML_NAME = '<img src=x onerror="window.hit=1"><b>Bolt & Nut</b>'
const LONG_NAME = `Lange${'X'.repeat(480)}`

async function openFolder(page: Page, folder: string): Promise<void> {
  await page.goto('/our-works')
  await page.getByLabel('Path of the folder on this machine').fill(folder)
  await page.keyboard.press('Enter')
}

test('names that are code or very long are shown as they are', async ({ page, worksCopy }) => {
  worksCopy.change('orders.csv', (text) =>
    text
      .replaceAll('X-41 Sahrivan Telecom', `"${HTML_NAME.replaceAll('"', '""')}"`)
      .replaceAll('D-32 Wexmarrow Two-Way', LONG_NAME),
  )
  await openFolder(page, worksCopy.folder)
  await expect(page.getByText('Opened.')).toBeVisible()
  await page.goto('/orders')
  await expect(page.getByText(HTML_NAME).first()).toBeVisible()
  await expect(page.getByText(LONG_NAME).first()).toBeVisible()
  expect(await page.evaluate(() => 'hit' in window)).toBe(false)
  const beyondPx = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
  expect(beyondPx).toBeLessThanOrEqual(0)
})

test('a broken folder is refused with every problem, and what was open stays open', async ({
  page,
  worksCopy,
}) => {
  // 31 February, a drum that is not there, a length with a decimal comma
  worksCopy.change('orders.csv', (text) =>
    text.replace('2031-03-12', '2031-02-31').replace(',750,m,', ',"7,5",m,'),
  )
  worksCopy.change('marks.csv', (text) => text.replace('R002,1', 'R999,1'))
  await openFolder(page, worksCopy.folder)
  await expect(page.getByRole('alert').filter({ hasText: 'refused' })).toBeVisible()
  const problems = page.getByRole('table', { name: /^Problems/ })
  await expect(
    problems.getByRole('row').filter({ hasText: 'orders.csv' }).filter({ hasText: 'due_date' }),
  ).toContainText('row 2')
  await expect(
    problems.getByRole('row').filter({ hasText: 'orders.csv' }).filter({ hasText: 'length' }).first(),
  ).toContainText('row 2')
  await expect(problems.getByRole('row').filter({ hasText: 'marks.csv' }).first()).toContainText('row 3')
  await expect(page.getByText('Kelderwick Coaxial Works').first()).toBeVisible()
  await expect(page.getByLabel('Path of the folder on this machine')).toHaveValue(worksCopy.folder)
})

test('a folder that is not there is said so', async ({ page }) => {
  await openFolder(page, 'no-such-folder-anywhere')
  await expect(page.getByRole('alert').filter({ hasText: 'sixteen files' })).toBeVisible()
})

test('a works folder that was chosen in the browser is opened', async ({ page, worksCopy }) => {
  worksCopy.change('lines.json', (text) => text.replace('Kelderwick Coaxial Works', 'Second Works'))
  await page.goto('/our-works')
  await page.getByLabel('Choose a folder').setInputFiles(worksCopy.folder)
  await expect(page.getByText('Opened.')).toBeVisible()
  await expect(page.locator('.sentence')).toContainText('Second Works')
})
