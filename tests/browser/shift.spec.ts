import { expect, type Page } from '@playwright/test'
import { bookElsewhere, eventsOf, floorOf, goToLine, scan } from './hall.ts'
import { test } from './lastmetre.ts'

test.use({ viewport: { width: 1024, height: 768 } })

const kinds = async (page: Page) => (await eventsOf(page)).map((e) => e.body.kind)
const heading = (page: Page) => page.getByRole('heading', { name: /^Now:/ })

/** Presses a button with its letter. */
async function press(page: Page, letter: string): Promise<void> {
  await page.keyboard.press(letter)
  // two presses closer than half a second are one
  await page.waitForTimeout(600)
}

test('one shift by keyboard and scanner: receive, plan, mount, cut, fault, repair, finish, put away, count', async ({
  page,
}) => {
  test.setTimeout(400_000)
  // goods in: a drum of a cable that is asked for, as the store books it
  await page.goto('/plan')
  const received = await bookElsewhere(page, {
    ...{ kind: 'receive-drum', drum: 'D900', origin: 'goods in', cable: 'C028-50', lot: 'L028-3199' },
    ...{ drumKind: 'process_drum', putup: 'PR-1250', lengthUm: 600_000_000, lengthUncUm: 600_000 },
    ...{ lengthHow: 'book', faults: [], rewinds: 0, grossKg: null, tareKg: null, endCaps: 'both' },
    marks: [{ fromUm: 0, toUm: 600_000_000, markFrom: 5000, markTo: 4400, printUnit: 'm' }],
    ...{ place: 'A09-1', status: 'free', reason: null },
  })
  expect(received.outcomes[0]).toHaveProperty('event')

  // plan, by keyboard, and have the hall work by it
  await page.reload()
  await page.getByRole('button', { name: 'Plan the works' }).press('Enter')
  await expect(page.getByText('Below: the best plan so far.')).toBeVisible()
  await page.getByRole('button', { name: 'Stop with the best so far' }).press('Enter')
  await expect(page.getByText('Stopped.', { exact: true })).toBeVisible()
  await page.goto('/line?view=now&line=RW-1')
  await expect(page.getByRole('button', { name: /^Work by plan/ })).toBeVisible()
  await press(page, 'v')
  await expect.poll(async () => (await floorOf(page, 'RW-1')).plan?.planId ?? 0).toBeGreaterThan(0)
  const line = await goToLine(page)

  // mount, read the dangers
  const drum = (await floorOf(page, line)).nextDrum?.drum ?? ''
  await scan(page, drum)
  await expect(heading(page)).toBeVisible()
  await page.getByRole('button', { name: 'Read, for this shift' }).press('Enter')

  // cut until two pieces are made
  for (let n = 0; n < 8; n++) {
    if ((await kinds(page)).filter((k) => k === 'pieces-cut').length >= 2) break
    const seq = (await floorOf(page, line)).seq
    await press(page, 'a')
    await expect.poll(async () => (await floorOf(page, line)).seq).toBeGreaterThan(seq)
    await expect(page.getByText(/records? on the way/)).toHaveCount(0)
  }
  expect((await kinds(page)).filter((k) => k === 'pieces-cut').length).toBeGreaterThanOrEqual(2)

  // a fault, here and now: the plan is repaired and released by itself
  await press(page, 'f')
  await page.getByLabel('Counter reads now, m').fill('30')
  await page.getByRole('button', { name: 'Lump', exact: true }).press('Enter')
  await expect(page.getByText('The rest was planned anew.')).toBeVisible()
  await expect.poll(async () => (await floorOf(page, line)).plan?.cause).toBe('repaired')
  const taken = page.getByRole('heading', { name: /^The plan has changed/ })
  await page.getByRole('button', { name: 'Seen' }).press('Enter')
  if (await taken.isVisible()) await press(page, 'n')
  await expect(taken).toHaveCount(0)

  // one more cut by the repaired plan, then the piece is put on the shelf by its serial
  const seq = (await floorOf(page, line)).seq
  await press(page, 'a')
  await expect.poll(async () => (await floorOf(page, line)).seq).toBeGreaterThan(seq)
  const pieces = (await eventsOf(page)).flatMap(({ body }) => (body.kind === 'pieces-cut' ? body.pieces : []))
  const serial = pieces[0]?.serial ?? ''
  const panel = page.getByRole('region', { name: 'Piece' })
  await scan(page, serial)
  await expect(panel).toBeVisible()
  await scan(page, 'S01-1')
  await expect(page.getByLabel('Place', { exact: true })).toHaveValue('S01-1')
  await page.getByRole('button', { name: 'Put it there' }).press('Enter')
  await expect.poll(() => kinds(page)).toContain('piece-shelved')

  // the drum goes away, and the stock is counted
  await press(page, 'w')
  await scan(page, 'A09-2')
  await expect(page.getByLabel('Place', { exact: true })).toHaveValue('A09-2')
  await page.getByRole('button', { name: 'Put it there' }).press('Enter')
  await expect.poll(() => kinds(page)).toContain('drum-put-away')
  const counted = await bookElsewhere(page, {
    ...{ kind: 'count-drum', drum: 'D900', foundUm: 600_000_000, foundUncUm: 500_000 },
  })
  expect(counted.outcomes[0]).toHaveProperty('event')

  // every metre of the drum is accounted for: what was cut, and what is left on it
  const events = await eventsOf(page)
  const bodies = events.map((e) => e.body)
  const booked = bodies.find((b) => b.kind === 'drum-received' && b.drum === drum)
  const lengthUm = booked?.kind === 'drum-received' ? booked.lengthUm : 0
  let cutUm = 0
  for (const body of bodies) {
    if (body.kind === 'pieces-cut') for (const p of body.pieces) cutUm += Math.abs(p.toUm - p.fromUm)
    if (body.kind === 'length-cut-off' && body.drum === drum) cutUm += Math.abs(body.toUm - body.fromUm)
  }
  const trimUm = bodies.reduce(
    (sum, b) => sum + (b.kind === 'pieces-cut' ? b.pieces.reduce((n, p) => n + p.trimUm, 0) : 0),
    0,
  )
  const input = await (await page.request.get('/api/input')).json()
  const left: { drum: string; bookUm: number }[] = input.input.drums
  const restUm = left.find((d) => d.drum === drum)?.bookUm ?? 0
  expect(Math.abs(lengthUm - cutUm - trimUm - restUm)).toBeLessThan(10_000)
  // no serial is missing between the first and the last
  const serials = bodies.flatMap((b) => (b.kind === 'pieces-cut' ? b.pieces.map((p) => p.serial) : []))
  expect(serials.map((s) => Number(s.split('-')[1]))).toEqual(serials.map((_, i) => i + 1))
})
