import { expect, type Page } from '@playwright/test'
import type { CommandBody } from '../../src/ledger/command.ts'
import type { LedgerEvent } from '../../src/ledger/event.ts'
import type { CommandsAnswer, EventsAnswer, FloorLines, FloorView } from '../../src/works/floor-api.ts'

/**
 * As a scanner does it: all keys within a millisecond or two, and Enter (`end`: what its makers set instead). They are made in the page, since a test machine
 * under load is slower than any scanner; what the page lets pass goes into the field that has the focus, as it would.
 */
export async function scan(page: Page, code: string, end = ['Enter']): Promise<void> {
  await page.evaluate(
    (keys) => {
      const target = document.activeElement ?? document.body
      for (const key of keys) {
        const event = new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true })
        if (!target.dispatchEvent(event) || !(target instanceof HTMLInputElement)) continue
        if (key.length === 1) document.execCommand('insertText', false, key)
        else target.form?.requestSubmit()
      }
    },
    [...code, ...end],
  )
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

/**
 * A plan by the screens' own way, stopped once every cable type has been planned, or ended by itself on a machine so slow that its
 * time is up before: how good it is does not matter here.
 */
export async function planned(page: Page): Promise<void> {
  await page.goto('/plan')
  await page.getByRole('button', { name: 'Plan the works' }).click()
  const sentence = page.getByTestId('plan-sentence')
  await expect(sentence).toContainText('served in full')
  const bounded = sentence.filter({ hasText: /costs at most .* less|no other that serves as much/ })
  await expect(bounded.or(page.getByRole('button', { name: 'Plan the works' })).first()).toBeVisible()
  await page.evaluate(() => {
    const buttons = [...document.querySelectorAll('button')]
    buttons.find((button) => button.textContent === 'Stop with the best so far')?.click()
  })
  await expect(page.getByRole('button', { name: 'Plan the works' })).toBeVisible()
}

/** The first cut in the drawings of the plan has the focus. They are drawn when they come near. */
export async function focusFirstCut(page: Page): Promise<void> {
  await page.locator('.mounting').first().scrollIntoViewIfNeeded()
  await page.locator('.mounting .strip-item').first().focus()
}

/** Plans the demo, and has the hall work by it; goes to the first line that the plan mounts a drum on, and says which. */
export async function releasedPlan(page: Page): Promise<string> {
  await planned(page)
  await page.goto('/line?view=now&line=RW-1')
  await page.getByRole('button', { name: /^Work by plan/ }).click()
  await expect.poll(async () => (await floorOf(page, 'RW-1')).plan?.planId ?? 0).toBeGreaterThan(0)
  return goToLine(page)
}

/** A line whose plan has a drum to mount. */
export async function goToLine(page: Page): Promise<string> {
  const { lines }: FloorLines = await (await page.request.get('/api/floor/lines')).json()
  for (const { line, bench } of lines) {
    if (bench || !(await floorOf(page, line)).nextDrum) continue
    await page.goto(`/line?view=now&line=${line}`)
    await expect(page.getByText(/^Scan \w+\./)).toBeVisible()
    return line
  }
  throw new Error('The plan mounts no drum on any line.')
}

/** The first drum of the plan on a line, by scanning it. */
export async function mountedDrum(page: Page): Promise<{ line: string; drum: string }> {
  const line = await releasedPlan(page)
  const { nextDrum } = await floorOf(page, line)
  const drum = nextDrum?.drum ?? ''
  const heading = page.getByRole('heading', { name: /^Now: cut 1/ })
  await scan(page, drum)
  await expect(heading).toBeVisible()
  // the cuts are known ahead, so they stand there before the mounting is booked
  await expect.poll(async () => (await floorOf(page, line)).mounted?.drum).toBe(drum)
  await page.getByRole('button', { name: 'Read, for this shift' }).click()
  return { line, drum }
}
