import { expect, type Page } from '@playwright/test'
import { scan } from './hall.ts'
import { test } from './lastmetre.ts'
import { violations } from './violations.ts'

async function expectSound(page: Page, where: string): Promise<void> {
  expect(await violations(page), where).toEqual([])
  const beyondPx = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
  expect(beyondPx, where).toBeLessThanOrEqual(0)
}

/** The screen has what was booked two seconds late. */
async function delayed(page: Page): Promise<void> {
  await page.route('**/api/works', async (route) => {
    await new Promise((resolve) => setTimeout(resolve, 2000))
    await route.continue()
  })
}

const next = (page: Page) => page.getByRole('button', { name: 'Next' }).click()

test('a drum is booked in, question by question, and is in the store with its marks and its fault', async ({
  page,
}) => {
  await page.goto('/stock#goods-in')
  await expect(page.getByRole('heading', { name: 'Which drum is it?' })).toBeVisible()
  await expectSound(page, 'goods in')
  // a drum that is there is not taken again
  await scan(page, 'D001')
  await next(page)
  await expect(page.getByText('D001 is in the store already.')).toBeVisible()
  await scan(page, 'D050')
  await expect(page.getByRole('heading', { name: 'What is on it?' })).toBeVisible()
  await page.getByLabel('Cable', { exact: true }).selectOption('C081-50')
  await page.getByLabel('Lot', { exact: true }).fill('L081-3110A')
  await next(page)
  // 83.6 kg/km: 1003.2 kg net is 12 km; 83.6 kg net is 1 km
  await page.getByLabel('Gross, kg').fill('218.6')
  await page.getByLabel('Tare, kg').fill('135')
  await page.getByLabel('Length on the note, m').fill('1000')
  await next(page)
  await page.getByLabel('Outer mark – inner mark').fill('3000 – 2001.5')
  await next(page)
  await page.getByLabel('Rows of faults').fill('2899.5;;SPK;cut_out;spark at jacketing')
  await expect(page.getByText('1 fault:')).toBeVisible()
  await next(page)
  await expect(page.getByText('All 3 witnesses agree on')).toBeVisible()
  await expectSound(page, 'length')
  await next(page)
  await expect(page.getByRole('heading', { name: 'Where does it stand' })).toBeVisible()
  await scan(page, 'A12-3')
  await expect(page.getByLabel('Place', { exact: true })).toHaveValue('A12-3')
  await page.getByLabel('May it be cut from?').selectOption('qc_hold')
  await page.getByRole('button', { name: 'Book D050 in' }).click()
  await expect(page.getByText('Say why it is held.')).toBeVisible()
  await page.getByLabel('Why not').fill('lot not tested yet')
  await page.getByRole('button', { name: 'Book D050 in' }).click()
  await expect(page.getByText('D050 is in the store, held.')).toBeVisible()

  const label = await page.request.get('/api/stock/drums/D050/label.pdf')
  expect(label.status()).toBe(200)
  expect((await label.body()).subarray(0, 5).toString()).toBe('%PDF-')

  const { drums } = (await (await page.request.get('/api/stock')).json()) as {
    drums: { drum: string; status: string; bookUm: number; location: string }[]
  }
  expect(drums.find((d) => d.drum === 'D050')).toMatchObject({
    ...{ status: 'qc_hold', bookUm: 1_000_000_000, location: 'A12-3' },
  })
  await page.getByRole('link', { name: 'In store' }).click()
  const row = page.locator('.strip-row', { has: page.getByRole('heading', { name: 'D050', exact: true }) })
  await expect(row).toContainText('held by quality')
  await row.getByText('Change').click()
  await row.getByLabel('What is to be done?').selectOption('release-drum')
  await row.getByLabel('Reason').fill('lot tested')
  await row.getByRole('button', { name: 'Release it' }).click()
  await expect(row).not.toContainText('held by quality')
})

test('a lot that fails is booked and holds its drums', async ({ page }) => {
  await page.goto('/stock#tests')
  const lot = page.locator('.lot-waiting', { hasText: 'Lot L059-3102B' })
  await expect(lot).toContainText('✗ fails')
  await expectSound(page, 'tests')
  await lot.getByRole('button', { name: /^Book it and hold/ }).click()
  await expect(page.getByText(/Lot L059-3102B: failed, booked\. \d drums held\./)).toBeVisible()
  const { drums } = (await (await page.request.get('/api/stock')).json()) as {
    drums: { drum: string; lot: string; status: string }[]
  }
  const mine = drums.filter((d) => d.lot === 'L059-3102B')
  expect(mine.length).toBeGreaterThan(0)
  for (const drum of mine) expect(drum.status, drum.drum).toBe('qc_hold')
})

test('drum after drum is counted, and what was not found is listed', async ({ page }) => {
  await page.goto('/stock#count')
  await expect(page.getByText('Nothing is counted yet.')).toBeVisible()
  await expectSound(page, 'count')
  // what is typed for the next drum stays, however late the screen has all of the last
  await delayed(page)
  await scan(page, 'D013')
  await page.getByRole('button', { name: /^As booked/ }).click()
  await expect(page.getByText('1 drum counted, none more than 1 % from the book.')).toBeVisible()
  await scan(page, 'D012')
  await page.getByRole('textbox', { name: 'length, m' }).fill('1000')
  await expect(page.getByText('✓ D013: 803 m, counted.')).toBeVisible()
  await page.getByRole('button', { name: 'Counted' }).click()
  await expect(page.getByText('2 drums counted, 1 more than 1 % from the book.')).toBeVisible()
  await scan(page, 'D999')
  await expect(page.getByText('D999 is not in the books.')).toBeVisible()
  await page.getByRole('button', { name: 'R002 is not there' }).click()
  await expect(page.getByText('3 drums counted')).toBeVisible()
})

test('the shelf serves order lines before anything is cut; what is allotted leaves and comes back', async ({
  page,
}) => {
  await page.goto('/stock#shelf')
  await expect(
    page.getByText('7 pieces finished and not sold; 6 pieces would serve open order lines'),
  ).toBeVisible()
  await expectSound(page, 'shelf')
  await page.goto('/plan')
  await expect(page.getByText('7118/1 gets KS30-0240')).toBeVisible()
  await page.getByRole('button', { name: 'Allot 6 pieces' }).click()
  await expect(page.getByText('6 pieces allotted.')).toBeVisible()

  await page.goto('/stock#send')
  await expect(page.getByText('6 finished pieces are ready to leave')).toBeVisible()
  await expectSound(page, 'send')
  await scan(page, 'DN-4711')
  await scan(page, 'KS30-0240')
  await scan(page, 'KS30-0244')
  await scan(page, 'KS30-0252')
  await expect(page.getByText('KS30-0252 is for no order')).toBeVisible()
  await page.getByRole('button', { name: 'Ship 2 pieces' }).click()
  await expect(page.getByText('DN-4711: 2 pieces left.')).toBeVisible()
  await page.getByLabel('Take pieces back').check()
  // what is scanned and typed for the next piece stays, however late the screen has all of the last
  await delayed(page)
  const why = page.getByLabel('Why it came back')
  await scan(page, 'KS30-0240')
  await why.fill('ordered too much')
  await page.getByRole('button', { name: 'It is back' }).click()
  await scan(page, 'KS30-0244')
  await why.fill('wrong end')
  await expect(page.getByText('KS30-0240 is back and waits for inspection.')).toBeVisible()
  await expect(why).toHaveValue('wrong end')
  await page.getByRole('button', { name: 'It is back' }).click()
  for (const [serial, verdict, place] of [
    ['KS30-0240', 'shelf', 'S09-1'],
    ['KS30-0244', 'scrap', ''],
  ] as const) {
    const inspection = page.getByRole('form', { name: `Inspection of ${serial}` })
    await inspection.getByRole('combobox').selectOption(verdict)
    if (place !== '') await inspection.getByLabel('Place').fill(place)
    await inspection.getByRole('button', { name: 'Inspected' }).click()
    await expect(inspection).toHaveCount(0)
  }
  await page.goto('/stock#shelf')
  await expect(page.getByText('2 pieces finished and not sold')).toBeVisible()
  await scan(page, 'KS30-0252')
  await scan(page, 'S09-2')
  await page.getByRole('button', { name: 'It stands there' }).click()
  await scan(page, 'KS30-0240')
  await expect(page.getByText('KS30-0252 is at S09-2.')).toBeVisible()
  await expect(page.getByRole('form', { name: 'Place of KS30-0240' })).toBeVisible()
})
