import { expect, type Page } from '@playwright/test'
import type { EventKind, EventOf } from '../../src/ledger/event.ts'
import { bookElsewhere, eventsOf, floorOf, scan, typeSlowly } from './hall.ts'
import { letter, openFolder, press, type } from './keyboard.ts'
import { CAN_LOOK, lookedAt } from './label-printer.ts'
import { test as demoTest } from './lastmetre.ts'
import { planToTheEnd, SHIFT } from './shift-desk.ts'
import { test } from './shift-works.ts'
import { violations } from './violations.ts'

test.use({ viewport: { width: 1024, height: 768 } })
demoTest.use({ viewport: { width: 1024, height: 768 } })

const heading = (page: Page) => page.getByRole('heading', { name: /^Now:/ })

/** The last event of a kind, once there is one more than before. */
async function booked<K extends EventKind>(page: Page, kind: K, before = 0): Promise<EventOf<K>> {
  const all = async () => (await eventsOf(page)).map((e) => e.body).filter((b) => b.kind === kind)
  await expect.poll(async () => (await all()).length).toBeGreaterThan(before)
  return (await all()).at(-1) as EventOf<K>
}

/** Plans, has the hall work by it, and mounts the drum. */
async function mount(page: Page, line: string, drum: string): Promise<void> {
  await planToTheEnd(page)
  await page.goto(`/line?view=now&line=${line}`)
  await press(page, /^Work by plan/)
  await expect(page.getByText(`Scan ${drum}.`)).toBeVisible()
  await scan(page, drum)
  await expect(heading(page)).toBeVisible()
  await press(page, 'Read, for this shift')
}

/** The small works with the drum of the shift on the line, so long by the books; its first end is cut off. */
async function shiftDrum(page: Page, folder: string, lengthM = 600): Promise<void> {
  await openFolder(page, folder)
  const { drum, line, cable, outerMark } = SHIFT
  const lengthUm = lengthM * 1e6
  await bookElsewhere(page, {
    ...{ kind: 'receive-drum', drum, origin: 'goods in', cable, lot: 'L028-3199' },
    ...{ drumKind: 'process_drum', putup: 'PR-1250', lengthUm, lengthUncUm: 600_000 },
    ...{ lengthHow: 'marks', faults: [], rewinds: 0, grossKg: null, tareKg: null, endCaps: 'both' },
    marks: [{ fromUm: 0, toUm: lengthUm, markFrom: outerMark, markTo: outerMark - lengthM, printUnit: 'm' }],
    ...{ place: 'A09-1', status: 'free', reason: null },
  })
  await mount(page, line, drum)
  await letter(page, 'a')
  await booked(page, 'length-cut-off')
}

test('ran out here: what the counter reads is all that is left, and what cannot be made is said', async ({
  page,
  shiftFolder,
}) => {
  await shiftDrum(page, shiftFolder, 160)
  const { errorRatio } = await floorOf(page, SHIFT.line)
  await letter(page, 'r')
  await type(page, 'Counter since the last cut, m', '60')
  await letter(page, 'e')
  // further from the book than it can be wrong by: it may be another drum, and nothing is booked by the same key twice
  const asked = page.getByRole('heading', {
    name: /^The book says [\d.]+ m more, worth €[\d.]+\. Wrong drum\?$/,
  })
  await expect(asked).toBeVisible()
  await letter(page, 'e')
  await letter(page, 'n')
  await expect(asked).toHaveCount(0)
  expect((await eventsOf(page)).filter((e) => e.body.kind === 'rest-measured')).toEqual([])
  await letter(page, 'r')
  await type(page, 'Counter since the last cut, m', '60')
  await page.keyboard.press('Enter')
  await expect(asked).toBeVisible()
  expect(await violations(page)).toEqual([])
  await letter(page, 'i')
  const measured = await booked(page, 'rest-measured')
  expect(measured).toMatchObject({ drum: SHIFT.drum, how: 'ran out', uncUm: 100_000 })
  expect(measured.newRestUm).toBe(Math.round(60e6 / (1 + errorRatio)))
  // the orders that are short of it now are named, and the rest is cut from what there is
  await expect(page.getByText('The rest was planned anew.')).toBeVisible()
  await expect(page.getByText(/^Orders it touches:/)).toContainText('7900/1')
  for (let cuts = 0; cuts < 6 && (await floorOf(page, SHIFT.line)).mounted; cuts++) {
    const before = (await floorOf(page, SHIFT.line)).seq
    await letter(page, 'a')
    await expect.poll(async () => (await floorOf(page, SHIFT.line)).seq).toBeGreaterThan(before)
    await expect(page.getByText(/records? on the way/)).toHaveCount(0)
  }
  // with nothing on the counter the drum is empty at once, and leaves the line
  if ((await floorOf(page, SHIFT.line)).mounted) {
    await letter(page, 'r')
    await letter(page, 'e')
    if (await asked.isVisible()) await letter(page, 'i')
    expect(await booked(page, 'rest-measured', 1)).toMatchObject({ how: 'ran out', newRestUm: 0 })
  }
  expect((await floorOf(page, SHIFT.line)).mounted).toBeNull()
})

test('more left than booked: the rest is as long as was found, and the plan goes on', async ({
  page,
  shiftFolder,
}) => {
  await shiftDrum(page, shiftFolder)
  await letter(page, 'm')
  await type(page, 'Left on it, m (true)', '640')
  await page.keyboard.press('Enter')
  const measured = await booked(page, 'rest-measured')
  // a twentieth of it where nothing is said
  expect(measured).toMatchObject({ newRestUm: 640_000_000, uncUm: 32_000_000, how: 'more left' })
  expect((await floorOf(page, SHIFT.line)).mounted?.restUm).toBe(640_000_000)
})

test('a number field takes figures only: no letter of a key, no code without an end, nothing pasted', async ({
  page,
  shiftFolder,
}) => {
  await shiftDrum(page, shiftFolder)
  const reading = page.getByLabel(/^Counter reads, m/)
  // the key that opens the field does not land in it, and neither does the same key again
  for (const key of ['s', 's', 'l', 'l']) await letter(page, key)
  await expect(reading).toBeFocused()
  for (const key of ['x', 'z', '#', 'é', '.', '4', ',', '-', 'k', '5']) await typeSlowly(page, key)
  await expect(reading).toHaveValue('.45')
  await reading.fill('')
  for (const code of ['31-000123-7', 'D999', 'lastmetre:drum/D999']) {
    await scan(page, code)
    await scan(page, code, [])
    await page.waitForTimeout(100)
    await expect(reading).toHaveValue('')
  }
  await reading.focus()
  await page.evaluate(() => document.execCommand('insertText', false, 'about 5 m'))
  await expect(reading).toHaveValue('')
  // without letter keys a letter is a letter, and still no figure
  await press(page, /^Letter keys/)
  await reading.focus()
  for (const key of ['s', 'l', '-', '1', '2', ',', '5', 'm']) await typeSlowly(page, key)
  await expect(reading).toHaveValue('-12,5')
  await press(page, /^Letter keys/)
  // in a panel too
  await reading.fill('')
  await letter(page, 'r')
  const since = page.getByLabel('Counter since the last cut, m')
  await expect(since).toBeFocused()
  await scan(page, 'D999')
  await scan(page, 'D999', [])
  for (const key of ['x', '7', 'r']) await typeSlowly(page, key)
  await expect(since).toHaveValue('7')
  expect((await eventsOf(page)).filter((e) => e.body.kind === 'rest-measured')).toEqual([])
})

test.describe('over MQTT', () => {
  test.use({ protocol: 'mqtt' })

  test('the counter of the line stands on the screen, is taken by a press, and a spark asks and is put on the strip', async ({
    page,
    shiftFolder,
    line,
  }) => {
    await shiftDrum(page, shiftFolder)
    const first = (await floorOf(page, SHIFT.line)).cuts[0]
    const goneUm = (await booked(page, 'length-cut-off')).toUm
    const run = line.runTo(first?.presetM ?? 0, true)
    const live = page.getByRole('region', { name: 'Live from the line' })
    await expect(live).toContainText(/Counter[1-9][\d.]* m/)
    const sparkM = await run
    const question = page.getByRole('heading', { name: /^Spark at [\d.]+ m from the outer end/ })
    await expect(question).toBeVisible()
    await page.screenshot({ path: 'test-results/spark-question.png' })
    await letter(page, 'y')
    const fault = await booked(page, 'fault-found')
    expect(fault).toMatchObject({ code: 'SPK', signal: true, line: SHIFT.line })
    // where it truly lies, within the error that is stated
    expect(Math.abs(fault.fromUm - goneUm - (sparkM ?? 0) * 1e6)).toBeLessThanOrEqual(fault.uncUm)
    await expect(question).toHaveCount(0)
    // the line stands: what the counter reads is what was sent, and a press puts it into the field
    const take = page.getByRole('button', { name: /^Take [\d.]+ m off the counter/ })
    await expect(take).toBeVisible()
    const read = Number(/Take ([\d.]+) m/.exec((await take.textContent()) ?? '')?.[1])
    expect(Math.abs(read - (first?.presetM ?? 0))).toBeLessThan(0.2)
    await letter(page, 'u')
    await expect(page.getByLabel(/^Counter reads, m/)).toHaveValue(read.toFixed(3))
    // listened to, and nothing else
    expect(line.published).toEqual([])
    expect(line.asked).toEqual([])
  })
})

test('a fault is placed afterwards, from one mark to the other', async ({ page, shiftFolder }) => {
  await shiftDrum(page, shiftFolder)
  await letter(page, 'f')
  await type(page, 'Counter reads now, m', '30')
  await letter(page, 'l')
  const found = await booked(page, 'fault-found')
  expect(found).toMatchObject({ code: 'LUMP', source: 'counter_only' })
  await expect(page.getByRole('button', { name: /^Place F-/ })).toBeVisible()
  await letter(page, 'b')
  await type(page, 'From mark', '4961.5')
  await type(page, 'To mark', '4960.5')
  await letter(page, 'e')
  const placed = await booked(page, 'fault-placed')
  // 38.5 and 39.5 m from the outer end of the strip; a mark that was read is good to 0.3 m
  expect(placed).toMatchObject({ fault: found.fault, source: 'mark_read', uncUm: 300_000 })
  expect([placed.fromUm, placed.toUm]).toEqual([38_500_000, 39_500_000])
  await expect(page.getByRole('button', { name: /^Place F-/ })).toHaveCount(0)
})

test('a label is printed again with the same serial, and says which one it replaces', async ({
  page,
  shiftFolder,
  printer,
}) => {
  await shiftDrum(page, shiftFolder)
  await letter(page, 'a')
  const [piece] = (await booked(page, 'pieces-cut')).pieces
  const serial = piece?.serial ?? ''
  await booked(page, 'label-printed')
  await scan(page, serial)
  await press(page, /^Print its label again/)
  await expect(page.getByText(`The label of ${serial} prints again on LP-1.`)).toBeVisible()
  const second = await booked(page, 'label-printed', 1)
  expect(second).toMatchObject({ serial, version: 2, printer: 'LP-1', reason: 'asked for at the line' })
  expect(printer.printed).toHaveLength(2)
  if (CAN_LOOK) {
    const label = await lookedAt(printer.printed[1] ?? Buffer.of())
    expect(label.codes).toEqual([serial])
    expect(label.words).toContain('label 2, replaces label 1')
  }

  // a piece that no line of ours made: its label is a PDF, and is booked all the same
  await page.goto('/stock#shelf')
  await expect(page.getByText('pieces finished and not sold')).toBeVisible()
  await scan(page, 'KS30-0240')
  const download = page.waitForEvent('download')
  await press(page, 'Label anew')
  expect((await download).suggestedFilename()).toBe('label-KS30-0240.pdf')
  expect(await booked(page, 'label-printed', 2)).toMatchObject({ serial: 'KS30-0240', printer: 'desk' })
})

demoTest(
  'what the plan winds off gets its own drum number and the place that is scanned',
  async ({ page, worksCopy: { folder, change } }) => {
    // one order of 400 m, and one drum for it: its clean length lies behind faults, with 141 m worth keeping before them
    change('orders.csv', (text) => {
      const [head, ...rows] = text.split('\n')
      const row = rows.find((r) => r.startsWith('7117,1,')) ?? ''
      return [head, row.replace('C142-50,2,400', 'C142-50,1,400').replace(',LG2,', ',,'), ''].join('\n')
    })
    change('drums.csv', (text) => text.replaceAll(/^(D027|D029|D030)(,.*),free,/gm, '$1$2,qc_hold,'))
    await openFolder(page, folder)
    await mount(page, 'RW-2', 'D028')
    await letter(page, 'a')
    await booked(page, 'length-cut-off')
    await expect(page.getByLabel('Its place: scan or type')).toBeVisible()
    await scan(page, 'R07-2')
    await expect(page.getByLabel('Its place: scan or type')).toHaveValue('R07-2')
    await letter(page, 'a')
    const off = await booked(page, 'remnant-wound-off')
    expect(off).toMatchObject({ drum: 'D028', strip: 'D028', putup: 'WD-800', place: 'R07-2' })
    expect(off.newDrum).toMatch(/^R-\d{6}$/)
    // a drum of its own from now on
    await page.goto('/stock')
    const row = page.locator('.strip-row', {
      has: page.getByRole('heading', { name: off.newDrum, exact: true }),
    })
    await expect(row).toContainText('R07-2')
    await expect(row).toContainText('141')
  },
)
