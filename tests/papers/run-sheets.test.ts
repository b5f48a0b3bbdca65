import { afterEach, beforeAll, describe, expect, test, vi } from 'vitest'
import { DEFER } from '../../src/dispatch/dangers.ts'
import { planLabels } from '../../src/dispatch/piece-label.ts'
import { runSheets } from '../../src/dispatch/run-sheet.ts'
import { paintSquare, QR_QUIET, qrCode } from '../../src/documents/barcode.ts'
import { Pen, PT_PER_MM } from '../../src/documents/pen.ts'
import { runSheetsPdf } from '../../src/documents/run-sheets.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { umFromM } from '../../src/quantity/length.ts'
import type { Interval, Mounting } from '../../src/strip/cut-plan.ts'
import { decode, rasterOf } from './decode.ts'
import { demoInput } from './demo-input.ts'
import { greedyPlan } from './greedy-plan.ts'

const meta = { planNumber: 'P0012', worksVersion: 3, madeAt: '2031-03-03 07:42 UTC' }
let input: PlanInput
let plan: Plan
beforeAll(async () => {
  input = await demoInput()
  plan = greedyPlan(input)
})
afterEach(() => {
  vi.restoreAllMocks()
})

const only = (...mountings: Mounting[]): Plan => ({ ...plan, mountings })
const piece = (fromM: number, toM: number, declaredM: number, order = '7104'): Interval => ({
  ...{ use: 'piece', order, orderLine: 1, piece: 1, part: 1, count: 1, putup: 'PD-500' },
  ...{ fromUm: umFromM(fromM), toUm: umFromM(toM), declaredUm: umFromM(declaredM) },
})
const rest = (fromM: number, toM: number): Interval => ({
  ...{ use: 'remnant', putup: null, fromUm: umFromM(fromM), toUm: umFromM(toM) },
})

type Matrix = [number, number, number, number, number, number]

/** Every text that is painted, with where its page ends up. */
async function painted(works: PlanInput, which: Plan) {
  const texts: { page: number; text: string; left: number; right: number; y: number; size: number }[] = []
  let page = 0
  const addPage = Pen.prototype.page
  vi.spyOn(Pen.prototype, 'page').mockImplementation(function (this: Pen) {
    page++
    addPage.call(this)
  })
  const paint = Pen.prototype.text
  vi.spyOn(Pen.prototype, 'text').mockImplementation(function (this: Pen, text, x, y, style) {
    // where pdfkit's own transformation has moved the origin; its types do not show it
    const [, , , , shiftX, fromFoot] = (this.doc as unknown as { _ctm: number[] })._ctm as Matrix
    const width = Math.min(this.widthOf(text, style.size, style.weight), style.maxWidth ?? 9999)
    const left = shiftX + (style.anchor === 'end' ? x - width : style.anchor === 'middle' ? x - width / 2 : x)
    texts.push({ page, text, left, right: left + width, y: 841.89 - fromFoot + y, size: style.size })
    paint.call(this, text, x, y, style)
  })
  await runSheetsPdf(works, which, meta)
  return { texts, pages: page }
}

describe('what a run sheet says', () => {
  test('one sheet per mounting, one row per interval, pieces under the names on their labels', () => {
    const sheets = runSheets(input, plan, meta)
    expect(sheets).toHaveLength(plan.mountings.length)
    const onSheets = sheets.flatMap((sheet) => sheet.rows.map((row) => row.ids).filter(Boolean))
    const onLabels = planLabels(input, plan, meta).map((label) => label.id)
    for (const [i, sheet] of sheets.entries())
      expect(sheet.rows).toHaveLength(plan.mountings[i]!.intervals.length)
    for (const ids of onSheets) expect(onLabels).toContain(ids.split(' to ')[0])
  })

  test('length, corrected preset and expected mark of each cut', () => {
    const intervals = [
      { use: 'end' as const, fromUm: 0, toUm: umFromM(5) },
      piece(5, 105.4, 100),
      rest(105.4, 1040),
    ]
    const [sheet] = runSheets(input, only({ drum: 'D012', line: 'RW-2', intervals }), meta)
    // mean error of the last ten checks of RW-2 in counter_checks.csv: 0.2293 %, reckoned outside this code;
    // 100.4 · 1.002293 = 100.6302, up to the millimetre. Marks of D012: 1000 + 1040.3/1040 · x
    expect(sheet!.rows.map((r) => [r.cut, r.run, r.preset, r.mark, r.declared])).toEqual([
      ['1', '5.000', '5.012', '1005.0 m', ''],
      ['2', '100.400', '100.631', '1105.4 m', '100 m'],
      ['rest', '934.600', '', '', ''],
    ])
    expect(sheet!.correction).toMatch(/reads 0\.229 % long \(mean of its last 10 checks/)
    expect(sheet!.rest).toMatch(/934\.6 m stay on D012.*expected: 1105\.4 m.*A04-2/)
    expect(sheet!.rows[1]).toMatchObject({ order: '7104/1', due: '2031-03-26', dueToday: false })
    expect(Object.fromEntries(sheet!.facts)).toMatchObject({
      Lot: 'L081-3106A',
      'Stands at': 'A04-2',
      'Outer end': 'mark 1000.0 m, rising inwards',
      Caps: 'outer end without cap',
    })
  })

  test('a bench sheet measures with the tape and has no counter', () => {
    const mounting = plan.mountings.find((m) => m.line === 'B1')!
    const [sheet] = runSheets(input, only(mounting), meta)
    expect(sheet).toMatchObject({
      bench: true,
      correction: '',
      title: expect.stringMatching(/^Bench sheet 1 of 1: B1/),
    })
    expect(sheet!.rows.every((row) => row.preset === '')).toBe(true)
    expect(sheet!.dangers.join()).not.toContain('spark')
  })

  test('scrap names the faults that lie in it', () => {
    const { bookUm } = input.drums.find(({ drum }) => drum === 'D012')!
    const intervals = [
      { use: 'scrap' as const, fromUm: 0, toUm: bookUm - 1, cause: 'fault' },
      { use: 'end' as const, fromUm: bookUm - 1, toUm: bookUm },
    ]
    const [sheet] = runSheets(input, only({ drum: 'D012', line: 'RW-2', intervals }), meta)
    // faults.csv of the demo: what is recorded of D012
    const recorded = input.faults.filter(({ drum }) => drum === 'D012').map((f) => `${f.fault} (${f.code})`)
    expect(recorded.length).toBeGreaterThan(1)
    for (const name of recorded) expect(sheet!.rows[0]!.what).toContain(name)
    expect(sheet!.rows[0]!.what).toMatch(/^scrap: fault F/)
  })

  test('what is doubtful is said: open ends, restarts, faults that stay, witnesses that disagree, no checks', () => {
    const said = (drum: string, intervals: Interval[], works = input) =>
      runSheets(works, only({ drum, line: 'RW-2', intervals }), meta)[0]!
    const whole = (drum: string, works = input) => said(drum, [rest(0, 400)], works).warnings.join('\n')
    expect(whole('D012')).toContain('The outer end has no cap')
    expect(whole('D032')).toContain('The print restarts 366.5 m from the outer end')
    expect(said('D012', [piece(1000, 1040, 20, '7133')]).warnings.join()).toContain('Fault F010 (PRT')
    expect(whole('D013')).not.toContain('disagree')
    const long = (change: object) => ({
      ...input,
      drums: input.drums.map((d) => (d.drum === 'D013' ? { ...d, ...change } : d)),
    })
    // 803.5 m by its marks; the marks.csv rows still tile the longer book within the drum's own scale
    expect(whole('D013', long({ bookUm: umFromM(820) }))).toContain('Book and marks disagree')
    expect(whole('D013', long({ grossKg: 160 }))).toContain('Book and weight disagree')
    expect(said('D013', [rest(0, 400)], { ...input, counterChecks: [] }).correction).toContain('is not known')
  })

  test('a drum that is mounted again stands where the sheet before left it', () => {
    const first = { drum: 'D013', line: 'RW-1', intervals: [piece(0, 100.4, 100), rest(100.4, 803)] }
    const again = { drum: 'D013', line: 'RW-2', intervals: [piece(100.4, 200.8, 100), rest(200.8, 803)] }
    const facts = Object.fromEntries(runSheets(input, only(first, again), meta)[1]!.facts)
    expect(facts).toMatchObject({ 'Stands at': 'here since sheet 1', Caps: 'as sheet 1 left them' })
    expect(facts['Outer end']).toMatch(/^mark 1703\.0 m, falling/)
  })
})

describe('the sheets on paper', () => {
  test('keep 12 mm margins and 9.5 pt, open with the dangers, repeat the head of the table', async () => {
    const { texts, pages } = await painted(input, plan)
    const margin = 12 * PT_PER_MM
    for (const t of texts) {
      expect(t.size, t.text).toBeGreaterThanOrEqual(9.5)
      expect(t.left, t.text).toBeGreaterThanOrEqual(margin - 0.5)
      expect(t.right, t.text).toBeLessThanOrEqual(595.28 - margin + 0.5)
      expect(t.y, t.text).toBeLessThanOrEqual(841.89 - margin + 0.5)
    }
    expect(texts.filter((t) => t.text === DEFER)).toHaveLength(plan.mountings.length)
    const rows = texts.filter((t) => /^\d+$/.test(t.text) && t.left < margin + 4)
    expect(rows.length).toBeGreaterThan(250)
    for (let page = 1; page <= pages; page++) {
      const head = texts.find((t) => t.page === page && t.text === 'Cut')
      if (rows.some((r) => r.page === page)) expect(head, `page ${page}`).toBeDefined()
    }
  })

  test('hostile and endless texts are text', async () => {
    const bad = `<img src=x onerror=alert(1)> =1+1 ${'W'.repeat(300)} 漢字\u202e`
    const hard: PlanInput = {
      ...input,
      orders: input.orders.map((o) => ({ ...o, customer: bad, note: bad })),
      drums: input.drums.map((d) => ({ ...d, location: bad, note: bad })),
      faults: input.faults.map((f) => ({ ...f, what: bad })),
      site: { ...input.site, works: { ...input.site.works, name: bad } },
    }
    const { texts } = await painted(hard, only(...plan.mountings.filter((m) => m.drum === 'D012')))
    for (const t of texts) expect(t.right, t.text).toBeLessThanOrEqual(595.28 - 12 * PT_PER_MM + 0.5)
  })

  test('a plan that mounts nothing is one page that says so', async () => {
    const { texts, pages } = await painted(input, only())
    expect(pages).toBe(1)
    expect(texts[0]!.text).toContain('mounts no drum')
  })

  test('the code in the head is read back', async () => {
    const [sheet] = runSheets(input, only(plan.mountings[0]!), meta)
    const code = qrCode(sheet!.code)
    const boxes: [number, number, number, number][] = []
    const doc = { rect: (...box: [number, number, number, number]) => boxes.push(box), fill: () => {} }
    paintSquare({ doc } as unknown as Pen, code, QR_QUIET * 2, QR_QUIET * 2, 2)
    const side = (code.modules + 2 * QR_QUIET) * 2
    expect(await decode(rasterOf(boxes, side, side, 300))).toEqual(['lastmetre:plan/P0012/mounting/1'])
  })
})
