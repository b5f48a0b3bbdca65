import { expect } from '@playwright/test'
import { planned } from './hall.ts'
import { test } from './lastmetre.ts'
import { violations } from './violations.ts'

test('without a plan the line says what is missing', async ({ page }) => {
  await page.goto('/line#mounting-1')
  await expect(page.getByText('No plan yet.')).toBeVisible()
  expect(await violations(page)).toEqual([])
})

test('a mounting is set, and a changed input is followed at once, by keyboard', async ({ page }) => {
  await page.setViewportSize({ width: 1024, height: 768 })
  await planned(page)
  await page.getByRole('link', { name: 'Line', exact: true }).click()
  await page.getByRole('link', { name: 'Mounting', exact: true }).click()
  const sentence = page.getByTestId('settings-sentence')
  await expect(sentence).toContainText('m/min')
  await page.getByRole('button', { name: 'Read, for this shift' }).press('Enter')
  await expect(page.getByText(/^Dangers of this step, read at/)).toBeVisible()

  // a slower line: the sheet follows, the works does not
  await page.getByLabel('top speed of the line, m/min').fill('30')
  await expect(sentence).toContainText('As changed')
  await expect(sentence).toContainText('30 m/min')
  await expect(page.getByTestId('followed')).toContainText('30 m/min')
  expect(await violations(page)).toEqual([])

  // what makes no sense is said, with its field, and the last figures stay
  await page.getByLabel('set winding tension, N').fill('0')
  await expect(page.getByRole('alert')).toContainText('set winding tension')
  await expect(sentence).toContainText('30 m/min')
  await page.getByRole('button', { name: 'Back to the works' }).press('Enter')
  await expect(sentence).not.toContainText('As changed')
  await expect(page.getByRole('alert')).toHaveCount(0)

  // by the code of another run sheet
  await page.getByLabel('Scan a run sheet').fill('lastmetre:plan/P0001/mounting/2')
  await page.keyboard.press('Enter')
  await expect(page).toHaveURL(/#mounting-2$/)
  await expect(page.getByLabel('Mounting', { exact: true })).toHaveValue('2')
  const paper = await page.request.get('/api/plan/files/run-sheets.pdf?mounting=2')
  expect(paper.headers()['content-disposition']).toContain('run-sheet-2.pdf')
})

test('a tape check is stored after a press, and an accepted guard makes the plan stale', async ({ page }) => {
  await planned(page)
  await page.goto('/line#counter')
  await expect(page.getByTestId('counter-sentence')).toContainText('too long')
  await page.getByRole('button', { name: /^RW-1/ }).press('Enter')
  await expect(page.getByRole('button', { name: /^RW-1/ })).toContainText('78 checks')
  await page.getByLabel('Counter showed, m').fill('50,05')
  await page.getByLabel('Tape says, m').fill('50')
  await page.keyboard.press('Enter')
  await expect(page.getByText(/the correction in force, .* becomes/)).toBeVisible()
  await expect(page.getByRole('button', { name: /^RW-1/ })).toContainText('78 checks')
  await page.getByRole('button', { name: 'Store 1 check' }).press('Enter')
  await expect(page.getByRole('button', { name: /^RW-1/ })).toContainText('79 checks')

  await page.getByLabel('New guard, % of the length').fill('0.2')
  await expect(page.getByText(/^It changes \d+ open cuts of the plan/)).toBeVisible()
  expect(await violations(page)).toEqual([])
  await page.getByRole('button', { name: 'Accept 0.2 %' }).press('Enter')
  await expect(page.getByText('This guard is in force.')).toBeVisible()
  await page.getByRole('link', { name: 'Plan', exact: true }).click()
  await expect(page.getByText('The works has changed since this plan was made.')).toBeVisible()
})

test('a recorded run is read back in sentences, and a broken record is refused with its cell', async ({
  page,
}) => {
  await page.goto('/line#run')
  await expect(page.getByTestId('run-sentence')).toContainText('RW-2 ran C110-50')
  // what works/README.md says was put into the record: a slip, a lump, a spark
  for (const found of [/counter slipped/, /^Lump at/, /^Spark at/])
    await expect(page.getByRole('cell', { name: found })).toBeVisible()
  expect(await violations(page)).toEqual([])
  const name = '<b>run</b>.csv'
  const buffer = Buffer.from('line,cable\r\nRW-2,C110-50\r\n')
  await page.getByLabel('Choose a record').setInputFiles({ name, mimeType: 'text/csv', buffer })
  await expect(page.getByRole('alert')).toContainText(`${name} is refused.`)
  await expect(page.getByTestId('run-sentence')).toBeVisible()
})
