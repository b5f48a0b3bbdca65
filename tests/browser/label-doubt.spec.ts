import { expect, type Page } from '@playwright/test'
import type { CommandBody } from '../../src/ledger/command.ts'
import { bookElsewhere, eventsOf, floorOf } from './hall.ts'
import { letter, openFolder, press } from './keyboard.ts'
import { SHIFT } from './shift-desk.ts'
import { test } from './shift-works.ts'
import { violations } from './violations.ts'

test.use({ viewport: { width: 1024, height: 768 } })

/** Cuts a coil for the shelf; answers its serial. */
async function cutCoil(page: Page, markOuter: number): Promise<string> {
  const { drum, line } = SHIFT
  const piece = {
    ...{ order: null, orderLine: null, piece: null, part: null, count: 1, putup: 'C-280' },
    ...{ measuredUm: 50_000_000, uncUm: 20_000, trimUm: 0, counterM: null },
    ...{ markOuter, markInner: markOuter - 50, inspection: 'as shown' },
  }
  const body: CommandBody = { kind: 'cut-pieces', drum, line, mounting: null, pieces: [piece] }
  const [outcome] = (await bookElsewhere(page, body)).outcomes
  if (!outcome || !('event' in outcome) || outcome.event.body.kind !== 'pieces-cut')
    throw new Error(JSON.stringify(outcome))
  return outcome.event.body.pieces[0]?.serial ?? ''
}

async function labels(page: Page) {
  const events = await eventsOf(page)
  return events.flatMap(({ body }) => (body.kind === 'label-printed' ? [body] : []))
}

test('a label that may have been printed is asked about at its line and under Records, by keys alone', async ({
  page,
  shiftFolder,
  printer,
}) => {
  await openFolder(page, shiftFolder)
  const { drum, line, cable, outerMark } = SHIFT
  const lengthUm = 600e6
  await bookElsewhere(page, {
    ...{ kind: 'receive-drum', drum, origin: 'goods in', cable, lot: 'L028-3199' },
    ...{ drumKind: 'process_drum', putup: 'PR-1250', lengthUm, lengthUncUm: 600_000 },
    ...{ lengthHow: 'marks', faults: [], rewinds: 0, grossKg: null, tareKg: null, endCaps: 'both' },
    marks: [{ fromUm: 0, toUm: lengthUm, markFrom: outerMark, markTo: outerMark - 600, printUnit: 'm' }],
    ...{ place: 'A09-1', status: 'free', reason: null },
  })
  await bookElsewhere(page, { kind: 'mount-drum', drum, line, mounting: null })
  printer.breaksOff = true
  await page.goto(`/line?view=now&line=${line}`)
  const serials = [await cutCoil(page, outerMark), await cutCoil(page, outerMark - 50)]
  const third = await cutCoil(page, outerMark - 100)
  await expect.poll(async () => (await floorOf(page, line)).doubts?.length).toBe(3)
  printer.breaksOff = false
  expect(await labels(page)).toEqual([])
  expect(printer.printed).toHaveLength(3)

  const question = page.getByRole('heading', {
    name: `The label of ${serials[0]} may have been printed: look at LP-1`,
  })
  await expect(question).toBeVisible()
  expect(await violations(page)).toEqual([])
  await letter(page, 'h')
  await expect(page.getByText(`The label of ${serials[0]} is noted as printed.`)).toBeVisible()
  await expect.poll(() => labels(page)).toMatchObject([{ serial: serials[0], printer: 'LP-1' }])
  await letter(page, 'k')
  await expect(page.getByText(`The label of ${serials[1]} prints again on LP-1.`)).toBeVisible()
  await expect.poll(() => labels(page)).toMatchObject([{}, { serial: serials[1], version: 1 }])
  expect(printer.printed).toHaveLength(4)

  await page.goto('/records#waiting')
  await expect(page.getByText('1 label may have been printed.')).toBeVisible()
  expect(await violations(page)).toEqual([])
  await press(page, 'It is there')
  await expect(page.getByText(`The label of ${third} is noted as printed.`)).toBeVisible()
  await expect(page.getByText('may have been printed.')).toBeHidden()
  expect(await labels(page)).toHaveLength(3)
  expect(printer.printed).toHaveLength(4)
})
