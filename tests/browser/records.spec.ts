import { AxeBuilder } from '@axe-core/playwright'
import type { APIRequestContext } from '@playwright/test'
import { expect } from '@playwright/test'
import { test } from './lastmetre.ts'

let key = 0

/** Books as a station does. */
async function book(request: APIRequestContext, ...bodies: object[]): Promise<{ event: { body: never } }[]> {
  const commands = bodies.map((body) => ({
    ...{ key: `b.${++key}`, at: new Date().toISOString(), station: 'T1', planId: null, corrects: null, body },
  }))
  const answer = await request.post('/api/ledger/commands', { data: { commands, late: false } })
  const { outcomes } = (await answer.json()) as { outcomes: { event: { body: never }; refused?: unknown }[] }
  for (const outcome of outcomes) expect(outcome.refused).toBeUndefined()
  return outcomes
}

/** A drum of which three coils are cut; answers their serials. */
async function threeCoils(request: APIRequestContext): Promise<string[]> {
  const lengthUm = 100_000_000
  const coil = (measuredUm: number) => ({
    ...{ order: '7105', orderLine: 1, piece: null, part: null, count: 1, putup: 'C-220' },
    ...{ measuredUm, uncUm: 20_000, trimUm: 0, counterM: measuredUm / 1e6 },
    ...{ markOuter: null, markInner: null, inspection: 'as shown' },
  })
  const outcomes = await book(
    request,
    {
      ...{
        kind: 'receive-drum',
        drum: 'Y1',
        origin: 'goods in',
        cable: 'C081-50',
        lot: 'LZ-1',
        drumKind: 'process_drum',
      },
      ...{ putup: 'PR-1250', lengthUm, lengthUncUm: 200_000, lengthHow: 'marks' },
      marks: [{ fromUm: 0, toUm: lengthUm, markFrom: 1000, markTo: 1100, printUnit: 'm' }],
      ...{ faults: [], rewinds: 0, grossKg: null, tareKg: null, endCaps: 'both', place: 'A01-1' },
      ...{ status: 'free', reason: null },
    },
    { kind: 'mount-drum', drum: 'Y1', line: 'RW-1', mounting: null },
    {
      ...{ kind: 'cut-pieces', drum: 'Y1', line: 'RW-1', mounting: null },
      pieces: [coil(25_100_000), coil(25_110_000), coil(25_090_000)],
    },
  )
  const cut = outcomes[2]!.event.body as unknown as { pieces: { serial: string }[] }
  const serials = cut.pieces.map((p) => p.serial)
  await book(request, { kind: 'ship-pieces', shipment: 'S-0001', serials: [serials[0]] })
  return serials
}

test('a piece is followed, called back, complained about, and its counter checked', async ({
  page,
  request,
}) => {
  const [first, second, third] = await threeCoils(request)
  await page.goto('/records')
  await expect(page.getByText('Scan a label.')).toBeVisible()
  await page.getByLabel('Serial, drum, lot or fault').fill(first!)
  await page.keyboard.press('Enter')
  await expect(page.getByTestId('trace-sentence')).toContainText(`${first}: `)
  await expect(page.getByTestId('trace-sentence')).toContainText('shipped on S-0001')
  await expect(page.getByText('the probability that it was short')).toBeVisible()
  expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([])

  await page.getByRole('link', { name: 'Recall', exact: true }).click()
  await page.getByRole('combobox', { name: 'What is bad' }).selectOption('strip')
  await page.getByLabel('Strip', { exact: true }).fill('Y1')
  await page.getByLabel('From, m').fill('20')
  await page.getByLabel('To, m').fill('30')
  await page.getByRole('button', { name: 'What did it touch?' }).click()
  await expect(page.getByTestId('recall-sentence')).toContainText(
    '2 pieces are touched (1 in the hall, 1 shipped to 1 customer)',
  )
  const table = page.getByRole('table', { name: /Pieces that are touched/ })
  await expect(table).toContainText('tell D-11 Quellmarth Antennenbau')
  await expect(table).toContainText(second!)
  await expect(table).not.toContainText(third!)

  await page.goto(`/records#complaints/${first}`)
  await expect(page.getByText('No complaint is open.')).toBeVisible()
  await page.getByLabel('They measured', { exact: true }).fill('24.7m')
  await page.getByLabel('How sure, ±').fill('0.1m')
  await page.getByRole('button', { name: 'Open the complaint' }).click()
  await expect(page.getByText('1 complaint is open.')).toBeVisible()
  const download = page.waitForEvent('download')
  await page.getByRole('button', { name: 'Page as PDF' }).click()
  expect((await download).suggestedFilename()).toContain('.pdf')
  await page.getByLabel('Why, and what was agreed').fill('measured anew together: 25.10 m')
  await page.getByLabel('Verdict').selectOption('refused')
  await page.getByRole('button', { name: 'Close it' }).click()
  await expect(page.getByText('No complaint is open.')).toBeVisible()

  await page.goto('/records#due')
  await expect(page.getByTestId('due-sentence')).toContainText('First:')
  await page.getByRole('button', { name: /^spark tester RW-2$/ }).click()
  await page.getByLabel('Result').selectOption('failed')
  await page.getByRole('button', { name: 'Record it' }).click()
  await expect(page.getByTestId('due-sentence')).toContainText('1 failed')
  await page.getByRole('link', { name: 'what it made suspect' }).click()
  await expect(page.getByTestId('recall-sentence')).toContainText('0 pieces are touched')
  await page.goto('/records#balance')
  await expect(page.getByTestId('balance-sentence')).toBeVisible()
  await expect(page.getByRole('table', { name: /Balance by cable type/ })).toContainText('C081-50')
  expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([])
})

test('without a ledger every question says so', async ({ page }) => {
  for (const [view, words] of [
    ['recall', 'What is bad?'],
    ['balance', 'The ledger has not begun'],
    ['complaints', 'None was ever recorded.'],
    ['waiting', 'No record waits.'],
    ['due', 'First:'],
    ['follow/X-1', 'X-1 is not in the ledger.'],
  ]) {
    await page.goto(`/records#${view}`)
    await page.reload()
    await expect(page.getByText(words!).first()).toBeVisible()
    expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([])
  }
})
