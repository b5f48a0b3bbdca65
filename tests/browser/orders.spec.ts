import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, type Page } from '@playwright/test'
import writeXlsxFile from 'write-excel-file/node'
import { test } from './lastmetre.ts'

const HEAD =
  'order;line;market;customer;channel;kind;cable;qty;length;unit;tol_minus_pct;tol_plus_pct;tol_minus_mm;tol_plus_mm;' +
  'single_length;min_piece_m;max_parts;same_lot_group;faults_allowed;print_required;putup;conn_a;conn_b;length_definition;' +
  'matched_set;match_kind;match_f_mhz;match_phase_tol_deg;match_delay_ns;match_delay_tol_ps;f_test_mhz;due_date;price_eur;note'

/** An order line as a spreadsheet with semicolons and decimal commas writes it. */
function pasted(order: string, length: string, due = '2031-03-20'): string {
  return `${order};1;DE;Müller & Söhne;dealer;bulk;C110-50;1;${length};m;0;5;;;yes;;;;none;yes;;;;jacket;;;;;;;;${due};49,95;`
}

async function paste(page: Page, text: string): Promise<void> {
  await expect(page.locator('.sentence')).toBeVisible()
  await page.evaluate((content) => {
    const data = new DataTransfer()
    data.setData('text/plain', content)
    document.body.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true }))
  }, text)
}

test('order lines with semicolons and decimal commas are understood, shown and stored after a press', async ({
  page,
}) => {
  await page.goto('/orders')
  await expect(page.locator('.sentence')).toContainText('120 order lines')
  await paste(page, [HEAD, pasted('9001', '12,5'), pasted('9002', '7,25')].join('\n'))
  const preview = page.getByRole('region', { name: 'Understood as 2 order lines' })
  await expect(preview).toContainText('semicolons')
  await expect(preview).toContainText('comma (12,5)')
  await expect(preview.getByRole('cell', { name: '12.5', exact: true })).toBeVisible()

  // shown is not stored
  await page.reload()
  await expect(page.locator('.sentence')).toContainText('120 order lines')

  await paste(page, [HEAD, pasted('9001', '12,5'), pasted('9002', '7,25')].join('\n'))
  await page.getByRole('button', { name: 'Store 2 order lines' }).click()
  await expect(page.getByText('2 order lines stored.')).toBeVisible()
  await expect(page.locator('.sentence')).toContainText('122 order lines')
  await page.getByLabel('Order, customer or note').fill('Müller')
  await expect(page.getByRole('row').filter({ hasText: '9001/1' })).toContainText('12.5 m')
})

test('what is wrong is shown on its cell, nothing is stored, and nothing typed is lost', async ({ page }) => {
  await page.goto('/orders')
  await paste(page, [HEAD, pasted('9001', '12,5', '2031-02-31'), pasted('9002', 'twelve')].join('\n'))
  const cells = page.locator('.preview .bad-cell')
  await expect(cells.filter({ hasText: '2031-02-31' })).toBeVisible()
  await expect(page.getByRole('button', { name: /^Store/ })).toBeDisabled()
  const box = page.getByLabel(/^Order lines with a header row/)
  await expect(box).toHaveValue(/twelve/)

  // mended in the box and read again
  await box.fill((await box.inputValue()).replace('2031-02-31', '2031-03-31'))
  await page.getByRole('button', { name: 'Read it' }).click()
  await expect(cells.filter({ hasText: 'twelve' })).toBeVisible()
  await expect(page.getByRole('button', { name: /^Store/ })).toBeDisabled()
  await box.fill((await box.inputValue()).replace('twelve', '12'))
  await page.getByRole('button', { name: 'Read it' }).click()
  await expect(page.getByRole('button', { name: 'Store 2 order lines' })).toBeEnabled()
})

test('two thousand order lines are walked through by keyboard, only those in sight being drawn', async ({
  page,
  worksCopy,
}) => {
  worksCopy.change('orders.csv', (text) => {
    const row = text.split(/\r?\n/)[1]!
    const more = Array.from({ length: 2000 }, (_, i) => row.replace(/^7100,1/, `B${i},1`))
    return `${text.trimEnd()}\n${more.join('\n')}\n`
  })
  await page.goto('/our-works')
  await page.getByLabel('Path of the folder on this machine').fill(worksCopy.folder)
  await page.keyboard.press('Enter')
  await expect(page.getByText('Opened.')).toBeVisible()
  await page.getByRole('link', { name: 'Orders', exact: true }).click()
  await expect(page.locator('.sentence')).toContainText('2120 order lines')
  expect(await page.locator('.data tbody tr').count()).toBeLessThan(100)
  await page.locator('.row-button[tabindex="0"]').focus()
  await page.keyboard.press('End')
  await expect(page.locator('tr[aria-rowindex="2121"] .row-button')).toBeFocused()
  await page.keyboard.press('Home')
  await expect(page.locator('tr[aria-rowindex="2"] .row-button')).toBeFocused()
})

test('a workbook is understood as well', async ({ page }) => {
  const folder = mkdtempSync(join(tmpdir(), 'lastmetre-xlsx-'))
  const path = join(folder, 'orders.xlsx')
  const [head, line] = [HEAD, pasted('9001', '12,5')].map((row) => row.split(';'))
  // numbers with a fraction are numbers in a workbook
  const cells = line!.map((value) =>
    value.includes(',') ? { value: Number(value.replace(',', '.')), type: Number } : { value, type: String },
  )
  await writeXlsxFile([head!.map((value) => ({ value, type: String })), cells]).toFile(path)
  await page.goto('/orders')
  await page.getByLabel('Choose a file').setInputFiles(path)
  const preview = page.getByRole('region', { name: 'Understood as 1 order line' })
  await expect(preview).toContainText('first sheet of a workbook')
  await expect(page.getByRole('button', { name: 'Store 1 order line' })).toBeEnabled()
  rmSync(folder, { recursive: true, force: true })
})

test('order lines that are stored after planning make the plan stale, and wait for the next', async ({
  page,
}) => {
  await page.goto('/plan')
  await page.getByRole('button', { name: 'Plan the works' }).click()
  await page.getByRole('button', { name: 'Stop with the best so far' }).click()
  await expect(page.getByText('Stopped.', { exact: true })).toBeVisible()
  await page.getByRole('link', { name: 'Orders', exact: true }).click()
  await paste(page, [HEAD, pasted('9001', '12,5')].join('\n'))
  await page.getByRole('button', { name: 'Store 1 order line' }).click()
  await expect(page.getByRole('row').filter({ hasText: '9001/1' })).toContainText('Not planned yet')
  await page.getByRole('link', { name: 'Plan', exact: true }).click()
  await expect(page.getByText('The works has changed since this plan was made.')).toBeVisible()
})
