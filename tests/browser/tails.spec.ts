import { expect } from '@playwright/test'
import type { PlanAnswer } from '../../src/works/api.ts'
import type { TailsAnswer } from '../../src/works/stock-api.ts'
import { planned } from './hall.ts'
import { openFolder, press } from './keyboard.ts'
import { test } from './lastmetre.ts'
import { violations } from './violations.ts'

const HEAD = 'cable,putup,length,unit,least'
const LEVELS = ['C081-50,C-220,10,m,1', 'C081-50,C-220,20,m,1'].join('\n')

/** The header row, and the rows that begin so. */
const only = (start: string) => (text: string) =>
  text
    .split(/\r?\n/)
    .filter((row, i) => i === 0 || row.startsWith(start))
    .join('\n')

test('tails of the plan become standard coils for the shelf where a level lacks and it pays', async ({
  page,
  worksCopy: { folder, change },
}) => {
  // one remnant of 37 m, of which 10 m are ordered: what is left of it makes a coil of 20 m, whatever the plan
  change('orders.csv', (text) => only('7105,')(text).replace(',30,25,m,', ',1,10,m,'))
  for (const file of ['drums.csv', 'marks.csv']) change(file, only('R019,'))
  for (const file of ['faults.csv', 'more/length_witnesses.csv', 'more/spark_tests.csv'])
    change(file, only('-'))
  change('more/minimum_levels.csv', () => `${HEAD}\n${LEVELS}\n`)
  await openFolder(page, folder)
  await planned(page)
  const panel = page.getByRole('region', { name: 'Coils for the shelf from what is left over' })
  const asked = page.waitForResponse('**/api/stock/tails')
  await press(page, 'Look for coils that pay')
  const { proposal }: TailsAnswer = await (await asked).json()
  const coils = proposal?.cuts.reduce((n, cut) => n + cut.pieces, 0) ?? 0
  expect(coils).toBeGreaterThan(0)
  await expect(panel.getByText(/that lack on the shelf would save/)).toContainText(`${coils} coil`)
  await expect(panel.getByRole('listitem')).toHaveCount(proposal?.cuts.length ?? 0)
  expect(await violations(page)).toEqual([])
  await press(page, 'Take the plan with them')
  await expect(panel.getByText('✓ Taken: the plan cuts the coils, and order STOCK holds them.')).toBeVisible()
  const { plan }: PlanAnswer = await (await page.request.get('/api/plan')).json()
  const forStock = plan.mountings.flatMap((m) =>
    m.intervals.filter((cut) => cut.use === 'piece' && cut.order === 'STOCK'),
  )
  expect(forStock).toHaveLength(coils)
  // the same question again: nothing lacks any more, or nothing more pays
  await press(page, 'Look for coils that pay')
  await expect(panel.getByText(/^(Every minimum level is met|No tail of this plan)/)).toBeVisible()
})

test('without minimum levels the question about tails says so', async ({
  page,
  worksCopy: { folder, change },
}) => {
  change('more/minimum_levels.csv', () => `${HEAD}\n`)
  await openFolder(page, folder)
  await planned(page)
  await press(page, 'Look for coils that pay')
  await expect(page.getByText(/^(No minimum levels are recorded|Every minimum level is met)/)).toBeVisible()
})
