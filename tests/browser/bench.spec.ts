import { expect } from '@playwright/test'
import { test } from './lastmetre.ts'
import { violations } from './violations.ts'

test('a word of the loss sentence is written over and answered at once; beyond the limit no figure is given', async ({
  page,
}) => {
  await page.goto('/bench#loss')
  const answer = page.locator('.sentence')
  await expect(answer).toContainText('dB is lost')
  const before = await answer.textContent()
  await page.getByLabel('length of the cable').fill('60 m')
  await expect(answer).not.toHaveText(before!)
  await page.getByLabel('frequency', { exact: true }).fill('99 GHz')
  await expect(page.locator('.wrong')).toContainText('No figure is given')
  await expect(answer).toContainText('Still for')
  await page.getByRole('link', { name: 'Sets', exact: true }).click()
  await page.getByRole('link', { name: 'Loss', exact: true }).click()
  await expect(page.getByLabel('length of the cable')).toHaveValue('60 m')
  expect(await violations(page)).toEqual([])
})

test('a measurement is judged where it is dropped in and its report saved', async ({ page }) => {
  await page.goto('/bench#judge')
  await expect(page.locator('.sentence')).toContainText('Nothing is measured yet')
  await page.locator('input[type=file]').setInputFiles('demo/measured/KJ31-4005-dent.s2p')
  await expect(page.getByText('✕ It fails.')).toBeVisible()
  await expect(page.getByRole('cell', { name: 'the line, 1.20 m in' })).toBeVisible()
  await page.getByLabel('instrument').selectOption('VNA-1')
  const saved = page.waitForEvent('download')
  await page.getByRole('button', { name: 'Measurement report as PDF' }).click()
  expect((await saved).suggestedFilename()).toBe('certificate-KJ31-4005.pdf')
  expect(await violations(page)).toEqual([])
  await page.locator('input[type=file]').setInputFiles({
    ...{ name: 'KJ31-4005.s2p', mimeType: 'text/plain', buffer: Buffer.from('# MHz S RI R 50\n1 0 x\n') },
  })
  await expect(page.locator('.banner.bad')).toContainText('line 2')
})

test('a job is worked through with the Enter key, and a foreign scan starts nothing', async ({ page }) => {
  await page.setViewportSize({ width: 1024, height: 768 })
  await page.goto('/bench')
  await page.locator('.job-button').first().focus()
  await page.keyboard.press('Enter')
  const scan = page.getByLabel(/^Scan/)
  await scan.fill('nobody/9')
  await scan.press('Enter')
  await expect(page.locator('.banner.bad').last()).toContainText('Nothing was started')
  await expect(page.getByText('Step 1 of 11 · waits')).toBeVisible()
  for (let i = 0; i < 5; i++) await page.keyboard.press('Enter')
  await expect(page.getByText('Step 3 of 11 · under way')).toBeVisible()
  await expect(page.getByRole('figure', { name: /^Now: End A/ })).toBeVisible()
  const button = await page.getByRole('button', { name: 'Finish strip A' }).boundingBox()
  expect(button!.height).toBeGreaterThanOrEqual(76)
  expect(button!.y + button!.height).toBeLessThanOrEqual(768)
  expect(await violations(page)).toEqual([])
})

test('sets say what is proven, and each has its certificate', async ({ page }) => {
  await page.goto('/bench#sets')
  await expect(page.locator('.sentence')).toContainText('proven')
  const saved = page.waitForEvent('download')
  await page.getByRole('button', { name: 'Certificate of set 1', exact: true }).click()
  expect((await saved).suggestedFilename()).toMatch(/^set-1-KJ31-\d+\.pdf$/)
  expect(await violations(page)).toEqual([])
})
