import { expect, type Page } from '@playwright/test'
import { scan } from './hall.ts'
import { choose, letter, press, type } from './keyboard.ts'

/** The drum of the shift: 600 m by its marks, which fall inward. */
export const SHIFT = { drum: 'D900', line: 'RW-1', cable: 'C028-50', outerMark: 5000, innerMark: 4400 }

/** Goods in, question by question. */
export async function receiveDrum(page: Page): Promise<void> {
  const { drum, cable, outerMark, innerMark } = SHIFT
  await page.goto('/stock#goods-in')
  await expect(page.getByRole('heading', { name: 'Which drum is it?' })).toBeVisible()
  await scan(page, drum)
  await expect(page.getByRole('heading', { name: 'What is on it?' })).toBeVisible()
  await choose(page, 'Cable', cable)
  await type(page, 'Lot', 'L028-3199')
  await page.keyboard.press('Enter')
  // 13.6 kg/km: 600 m is 8.2 kg
  await type(page, 'Gross, kg', '143.2')
  await type(page, 'Tare, kg', '135')
  await type(page, 'Length on the note, m', '600')
  await page.keyboard.press('Enter')
  await type(page, 'Outer mark – inner mark', `${outerMark} – ${innerMark}`)
  await page.keyboard.press('Enter')
  await expect(page.getByLabel('Rows of faults')).toBeVisible()
  await press(page, 'Next')
  await expect(page.getByText('All 3 witnesses agree on')).toBeVisible()
  await press(page, 'Next')
  await expect(page.getByRole('heading', { name: 'Where does it stand' })).toBeVisible()
  await scan(page, 'A09-1')
  await expect(page.getByLabel('Place', { exact: true })).toHaveValue('A09-1')
  await press(page, `Book ${drum} in`)
  await expect(page.getByText(`${drum} is in the store`)).toBeVisible()
}

/** Plans a small works until the planner is done, which may be before a first plan could be shown. */
export async function planToTheEnd(page: Page): Promise<void> {
  await page.goto('/plan')
  await press(page, 'Plan the works')
  await expect(page.getByText('The plan is ready.')).toBeVisible({ timeout: 60_000 })
  await expect(page.getByRole('button', { name: 'Plan the works' })).toBeVisible()
}

/** Plans, and has the hall work by the plan. */
export async function planAndRelease(page: Page): Promise<void> {
  await planToTheEnd(page)
  await page.goto(`/line?view=now&line=${SHIFT.line}`)
  await expect(page.getByRole('button', { name: /^Work by plan/ })).toBeVisible()
  await letter(page, 'v')
  await expect(page.getByText(`Scan ${SHIFT.drum}.`)).toBeVisible()
}

/** Counts the drum by the mark that stands at its outer end. */
export async function countByMark(page: Page, mark: number): Promise<void> {
  await page.goto('/stock#count')
  await expect(page.getByText('Nothing is counted yet.')).toBeVisible()
  await scan(page, SHIFT.drum)
  await choose(page, 'Found by', 'mark at the outer end')
  await type(page, 'mark at the outer end', mark.toFixed(1))
  await page.keyboard.press('Enter')
  await expect(page.getByText('1 drum counted, none more than 1 % from the book.')).toBeVisible()
}

/** The row of the cable in the balance of the month, metres by the head of the column; `judged`: its last cell. */
export async function balanceRow(page: Page): Promise<{ figures: Map<string, number>; judged: string }> {
  await page.goto('/records#balance')
  const table = page.getByRole('table', { name: /Balance by cable type/ })
  await expect(table).toBeVisible()
  const heads = await table.getByRole('columnheader').allTextContents()
  const row = table.getByRole('row').filter({ hasText: SHIFT.cable })
  const cells = await row.locator('[role=cell], [role=rowheader], td, th').allTextContents()
  const figures = heads.map(
    (head, i) => [head, Number.parseFloat((cells[i] ?? '').replace('−', '-'))] as const,
  )
  return { figures: new Map(figures), judged: cells.at(-1) ?? '' }
}
