import { expect, type Page } from '@playwright/test'

/** Presses the button of this name by its key, with no pointer. */
export async function press(page: Page, name: string | RegExp): Promise<void> {
  await page.getByRole('button', { name }).press('Enter')
}

/** Presses a letter of the line; two presses closer than half a second are one. */
export async function letter(page: Page, key: string): Promise<void> {
  await page.keyboard.press(key)
  await page.waitForTimeout(600)
}

/** Chooses from a list by its letters. */
export async function choose(page: Page, label: string, text: string): Promise<void> {
  const list = page.getByLabel(label, { exact: true })
  await list.focus()
  await page.keyboard.type(text)
  await expect(list.locator('option:checked')).toHaveText(text)
}

export async function type(page: Page, label: string, text: string): Promise<void> {
  await page.getByLabel(label, { exact: true }).fill(text)
}

export async function openFolder(page: Page, folder: string): Promise<void> {
  await page.goto('/our-works')
  await type(page, 'Path of the folder on this machine', folder)
  await page.keyboard.press('Enter')
  await expect(page.getByText('Opened.')).toBeVisible()
}
