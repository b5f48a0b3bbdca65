import { expect, type Page } from '@playwright/test'
import { focusFirstCut, planned } from './hall.ts'
import { test } from './lastmetre.ts'
import { violations } from './violations.ts'

/** Chooses the first piece of a drawing by keyboard; answers its order line. */
async function choosePiece(page: Page): Promise<string> {
  await focusFirstCut(page)
  for (let i = 0; i < 20; i++) {
    await page.keyboard.press('Enter')
    if (await page.locator('.cut-actions').count()) break
    await page.keyboard.press('ArrowRight')
  }
  const legend = await page.locator('.cut-actions legend').textContent()
  return /, (\S+\/\d+) on/.exec(legend ?? '')![1]!
}

test('a drum is left out by keyboard, both plans stand side by side, and the changed one is taken', async ({
  page,
}) => {
  await planned(page)
  await choosePiece(page)
  const drum = /on (\S+)$/.exec((await page.locator('.cut-actions legend').textContent())!)![1]!
  // the buttons follow the drawing in the order of tabbing
  await page.keyboard.press('Tab')
  await expect(page.locator(':focus')).toHaveText('Hold it here')
  await page.keyboard.press('Tab')
  await page.keyboard.press('Tab')
  await expect(page.locator(':focus')).toHaveText(`Leave ${drum} out`)
  await page.keyboard.press('Enter')
  const panel = page.getByRole('region', { name: 'Try a change' })
  await expect(panel.getByRole('list', { name: 'Changes to try' })).toContainText(`Leave ${drum} out`)
  expect(await violations(page)).toEqual([])

  await panel.getByRole('button', { name: 'Try 1 change' }).press('Enter')
  const result = page.getByRole('region', { name: /^With the change the plan/ })
  await expect(result).toContainText('This is the difference of two plans')
  await expect(page.locator(':focus')).toContainText('With the change the plan')
  await expect(result.getByRole('region', { name: `${drum}, both plans` })).toContainText('is not mounted')
  expect(await violations(page)).toEqual([])

  const number = page.getByText(/^Plan \d+, made/)
  const before = await number.textContent()
  await result.getByRole('button', { name: 'Take the changed plan' }).press('Enter')
  await expect(result).toHaveCount(0)
  await expect(number).not.toHaveText(before!)
  await expect(page.locator(':focus')).toHaveText('Try a change')
  await expect(page.locator('.mounting h3', { hasText: ` ${drum} on ` })).toHaveCount(0)
  await page.reload()
  await expect(page.locator('.mounting h3', { hasText: ` ${drum} on ` })).toHaveCount(0)
})

test('a cut is held and another forbidden; what is tried is stored only when it is taken', async ({
  page,
}) => {
  await planned(page)
  const line = await choosePiece(page)
  await page.getByRole('button', { name: 'Hold it here' }).click()
  await page.getByRole('button', { name: 'Hold it here' }).click()
  const list = page.getByRole('list', { name: 'Changes to try' })
  await expect(list.getByRole('listitem')).toHaveCount(1)
  await expect(list).toContainText(`Hold ${line} where it is`)
  await list.getByRole('button', { name: /^Take out/ }).click()
  await expect(list).toHaveCount(0)
  await page.getByRole('button', { name: /^Not from / }).click()
  await page.getByRole('button', { name: 'Try 1 change' }).first().click()
  const result = page.getByRole('region', { name: /^With the change the plan/ })
  await expect(result.getByRole('columnheader', { name: 'With the change' })).toBeVisible()
  // on a narrow screen nothing sticks out
  await page.setViewportSize({ width: 320, height: 640 })
  await page.getByRole('button', { name: 'Add an order …' }).click()
  const beyondPx = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
  expect(beyondPx).toBeLessThanOrEqual(0)
  const sentence = await page.getByTestId('plan-sentence').textContent()
  await result.getByRole('button', { name: 'Keep the plan as it is' }).click()
  await page.reload()
  await expect(page.getByTestId('plan-sentence')).toHaveText(sentence!)
})

test('an order is added and its plan taken together with it', async ({ page }) => {
  await planned(page)
  await page.getByRole('button', { name: 'Add an order …' }).click()
  const form = page.getByRole('form', { name: 'Add an order' })
  await form.getByLabel('Like').selectOption({ index: 1 })
  await form.getByLabel('Number of the new order').fill('9001')
  await form.getByLabel(/^Length of one/).fill('12.5')
  await form.getByLabel('Pieces').fill('2')
  await form.getByRole('button', { name: 'Add it to the changes' }).click()
  await page.getByRole('button', { name: 'Try 1 change' }).first().click()
  const result = page.getByRole('region', { name: /^With the change the plan/ })
  await expect(result).toBeVisible()
  await result.getByRole('button', { name: 'Take the changed plan' }).click()
  await expect(page.getByTestId('plan-sentence')).toContainText('of 121')
  await expect(page.getByText('The works has changed since')).toHaveCount(0)
})

test('an order line is explained', async ({ page }) => {
  await planned(page)
  const line = await choosePiece(page)
  await page.getByRole('button', { name: 'Why from here?' }).click()
  const why = page.getByRole('region', { name: new RegExp(`^${line}: cut from`) })
  await expect(why).toContainText('Without this order line', { timeout: 60_000 })
  expect(await violations(page)).toEqual([])
})
