import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { LABEL_MM, planLabels } from '../../src/dispatch/piece-label.ts'
import { CODE128_QUIET, code128, moduleThatFits, paintLinear } from '../../src/documents/barcode.ts'
import { labelsPdf } from '../../src/documents/labels.ts'
import type { Pen } from '../../src/documents/pen.ts'
import { PT_PER_MM } from '../../src/documents/pen.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import checkValues from '../data/check-values-papers.json' with { type: 'json' }
import { decode, rasterOf, rasterOfPgm } from './decode.ts'
import { demoInput } from './demo-input.ts'
import { greedyPlan } from './greedy-plan.ts'

const meta = { planNumber: 'P0012', worksVersion: 3, madeAt: '2031-03-03 07:42 UTC' }
let input: PlanInput
let plan: Plan
beforeAll(async () => {
  input = await demoInput()
  plan = greedyPlan(input)
})

/** Stands in for the page: keeps the boxes that are painted. */
function recorder(): { pen: Pen; boxes: [number, number, number, number][] } {
  const boxes: [number, number, number, number][] = []
  const doc = { rect: (...box: [number, number, number, number]) => boxes.push(box), fill: () => {} }
  return { pen: { doc } as unknown as Pen, boxes }
}

describe('barcodes', () => {
  // zint backend/tests/test_code128.c; AIM1234 is the example of ISO/IEC 15417 annex A
  const published = checkValues.filter((v) => v.id.startsWith('label.c128.'))
  test.each(published)('$id has the published number of modules', ({ inputs, expected }) => {
    expect(code128((inputs as { text: string }).text).modules).toBe((expected as { modules: number }).modules)
  })

  test.each([203, 300])('every label of a plan is read back at %i dpi', { timeout: 120_000 }, async (dpi) => {
    const labels = planLabels(input, plan, meta)
    expect(labels.length).toBeGreaterThan(400)
    for (const { id } of labels) {
      const symbol = code128(id)
      const module = moduleThatFits(symbol, LABEL_MM.width - 2)! * PT_PER_MM
      const { pen, boxes } = recorder()
      paintLinear(pen, symbol, CODE128_QUIET * module, 1, module, 6)
      const width = (symbol.modules + 2 * CODE128_QUIET) * module
      expect(await decode(rasterOf(boxes, width, 8, dpi))).toEqual([id])
    }
  })

  const poppler = spawnSync('pdftoppm', ['-v']).status === 0
  test.skipIf(!poppler).each([203, 300])(
    'printed label pages are read back at %i dpi (skipped where there is no pdftoppm)',
    { timeout: 120_000 },
    async (dpi) => {
      const few: Plan = { ...plan, mountings: plan.mountings.filter((m) => m.line !== 'B1').slice(0, 1) }
      const folder = mkdtempSync(join(tmpdir(), 'labels-'))
      try {
        writeFileSync(join(folder, 'labels.pdf'), await labelsPdf(input, few, meta))
        execFileSync('pdftoppm', ['-gray', '-r', String(dpi), 'labels.pdf', 'page'], { cwd: folder })
        const pages = readdirSync(folder)
          .filter((name) => name.endsWith('.pgm'))
          .sort()
        const ids = planLabels(input, few, meta).map((label) => label.id)
        expect(pages).toHaveLength(ids.length)
        for (const [i, page] of pages.entries())
          expect(await decode(rasterOfPgm(readFileSync(join(folder, page))))).toEqual([ids[i]])
      } finally {
        rmSync(folder, { recursive: true })
      }
    },
  )
})

describe('what a label says', () => {
  test('one label per piece and per lead, and one ticket per bench length', () => {
    const labels = planLabels(input, plan, meta)
    const pieces = plan.mountings.flatMap((m) => m.intervals).flatMap((i) => (i.use === 'piece' ? [i] : []))
    const each = pieces.reduce((sum, p) => sum + p.count, 0)
    const tickets = pieces.filter((p) => p.putup === null).length
    expect(labels).toHaveLength(each + tickets)
    expect(new Set(labels.map((label) => label.id)).size).toBe(labels.length)
    expect(labels.every((label) => label.banner === 'PLANNED, NOT A DECLARATION')).toBe(true)
  })

  test('words, units, lot and order of the market that it goes to', () => {
    const label = planLabels(input, plan, meta).find((l) => l.order === '7116/1')
    expect(label).toMatchObject({
      title: 'coax cable C028-50',
      length: '328 ft (99.97 m)',
      made: 'coil C-280',
      lot: expect.stringMatching(/^L028-/),
      piece: expect.stringMatching(/^\d of 6$/),
      customer: 'D-31 Tallowpine Junction Radio',
    })
    const lead = planLabels(input, plan, meta).find((l) => l.order === '7121/1' && l.id.includes('-0'))
    expect(lead).toMatchObject({ title: 'Anschlusskabel C028-50', length: '0,15 m', piece: '1 of 50' })
  })
})

describe('text that is hard to print', () => {
  const withOrder = (change: object): PlanInput => ({
    ...input,
    orders: input.orders.map((o) => ({ ...o, ...change })),
  })
  const withMarkets = (change: object): PlanInput => ({
    ...input,
    markets: input.markets.map((m) => ({ ...m, words: { ...m.words, ...change } })),
  })
  const one = (): Plan => ({ ...plan, mountings: plan.mountings.slice(0, 1) })

  test.each(['<script>alert(1)</script>', '=HYPERLINK("x")', 'Ω'.repeat(500), '株式会社 \u202e\u0000 👍'])(
    'a customer named %j is printed, shortened or with marks in place of letters',
    async (customer) => {
      const bytes = await labelsPdf(withOrder({ customer }), one(), meta)
      expect(new TextDecoder().decode(bytes.subarray(0, 5))).toBe('%PDF-')
    },
  )

  test('a word of the declaration that the typeface lacks is refused', async () => {
    await expect(labelsPdf(withMarkets({ coax: '同軸', lead: '同軸' }), one(), meta)).rejects.toMatchObject({
      code: 'text-not-printable',
      message: expect.stringContaining('U+540C'),
    })
  })

  test('a word of the declaration that does not fit is refused', async () => {
    const word = 'Koaxialkabelverbindungsleitung'.repeat(9)
    await expect(labelsPdf(withMarkets({ coax: word, lead: word }), one(), meta)).rejects.toMatchObject({
      code: 'text-not-printable',
    })
  })

  test('Greek and Cyrillic words are set in the subsets that have them', async () => {
    const bytes = await labelsPdf(withMarkets({ coax: 'ομοαξονικό', lead: 'кабель' }), one(), meta)
    expect(bytes.length).toBeGreaterThan(1000)
  })

  test('the longest ids that the works folder allows fit', async () => {
    const long = 'A'.repeat(32)
    const renamed = (plan: Plan): Plan => ({
      ...plan,
      mountings: plan.mountings.map((m) => ({
        ...m,
        intervals: m.intervals.map((i) => (i.use === 'piece' ? { ...i, order: long, orderLine: 99_999 } : i)),
      })),
    })
    const order = input.orders.find((o) => o.kind === 'lead')!
    const hard: PlanInput = {
      ...input,
      orders: [
        { ...order, order: long, line: 99_999, qty: 10_000, connA: 'W'.repeat(32), connB: 'M'.repeat(32) },
      ],
      drums: input.drums.map((d) => ({ ...d, lot: 'W'.repeat(32) })),
    }
    await expect(labelsPdf(hard, renamed(one()), meta)).resolves.toBeInstanceOf(Uint8Array)
  })
})
