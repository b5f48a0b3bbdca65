import { expect, type Page } from '@playwright/test'
import type { CommandBody } from '../../src/ledger/command.ts'
import type { LedgerEvent } from '../../src/ledger/event.ts'
import type { CommandsAnswer, EventsAnswer, FloorView } from '../../src/works/floor-api.ts'

/** As a scanner does it: all keys at once, without a wait between them, and Enter. */
export async function scan(page: Page, code: string): Promise<void> {
  await Promise.all([...code, 'Enter'].map((key) => page.keyboard.press(key)))
}

/** As a hand does it. */
export async function typeSlowly(page: Page, text: string): Promise<void> {
  await page.keyboard.type(text, { delay: 60 })
  await page.waitForTimeout(80)
}

export async function floorOf(page: Page, line: string): Promise<FloorView> {
  return (await page.request.get(`/api/floor?line=${line}`)).json()
}

export async function eventsOf(page: Page): Promise<LedgerEvent[]> {
  const answer: EventsAnswer = await (await page.request.get('/api/ledger/events?after=0&limit=1000')).json()
  return answer.events
}

/** Books as another station would. */
export async function bookElsewhere(page: Page, body: CommandBody): Promise<CommandsAnswer> {
  const command = {
    key: `test-${Math.random()}`,
    at: new Date().toISOString(),
    station: 'TEST',
    ...{ planId: null, corrects: null, body },
  }
  const response = await page.request.post('/api/ledger/commands', {
    data: { commands: [command], late: false },
  })
  return response.json()
}

/** Plans the demo, and has the hall work by it. */
export async function releasedPlan(page: Page): Promise<void> {
  await page.goto('/plan')
  await page.getByRole('button', { name: 'Plan the works' }).click()
  await expect(page.getByText('Below: the best plan so far.')).toBeVisible()
  await page.getByRole('button', { name: 'Stop with the best so far' }).click()
  await expect(page.getByText('Stopped.', { exact: true })).toBeVisible()
  await page.goto('/line?view=now&line=RW-1')
  await page.getByRole('button', { name: /^Work by plan/ }).click()
  await expect(page.getByText(/^Scan D\d+\./)).toBeVisible()
}

/** The first drum of the plan on RW-1, by scanning it. */
export async function mountedDrum(page: Page): Promise<string> {
  await releasedPlan(page)
  const { nextDrum } = await floorOf(page, 'RW-1')
  const drum = nextDrum?.drum ?? ''
  await scan(page, drum)
  await expect(page.getByRole('heading', { name: /^Now: cut 1/ })).toBeVisible()
  await page.getByRole('button', { name: 'Read, for this shift' }).click()
  return drum
}
