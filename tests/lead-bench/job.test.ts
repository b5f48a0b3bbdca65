import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { leadDrawing } from '../../src/drawing/lead-drawing.ts'
import { leadEndDrawing } from '../../src/drawing/lead-end.ts'
import { leadBatches } from '../../src/lead/batch.ts'
import type { Connector } from '../../src/lead/connector.ts'
import { dueGroups } from '../../src/lead/job-groups.ts'
import { jobSheet } from '../../src/lead/job-sheet.ts'
import { enoughGood, startFor } from '../../src/lead/job-start.ts'
import { kitList } from '../../src/lead/kit.ts'
import type { Tool } from '../../src/lead/tool.ts'
import { toolList } from '../../src/lead/tool-list.ts'
import { connectorOf, works } from '../lead/demo-works.ts'

const NOTHING = {
  ...{ finishedLeads: null, openLeads: null, kitStock: null, kitParts: null, tools: null, benchTimes: null },
}
const rate = (failed: number, passed: number) => ({ failed, passed, tested: 0, testedFailed: 0, from: '' })
const leads = works.orders.filter((o) => o.kind === 'lead')
const order = (id: string) => leads.find((o) => o.order === id)!

describe('how many to start', () => {
  /** Pólya's urn: each lead fails with failed/(failed + passed) of what was seen so far; the same law another way. */
  const byUrn = (wanted: number, started: number, failed: number, passed: number): number => {
    let chances = [1]
    for (let n = 0; n < started; n++) {
      const next = Array(chances.length + 1).fill(0) as number[]
      for (const [bad, chance] of chances.entries()) {
        const fails = (failed + bad) / (failed + passed + n)
        next[bad + 1]! += chance * fails
        next[bad]! += chance * (1 - fails)
      }
      chances = next
    }
    return chances.slice(0, started - wanted + 1).reduce((sum, chance) => sum + chance, 0)
  }

  test('agrees with drawing from the urn, and is the least that does', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 40 }),
        fc.double({ min: 0.5, max: 4, noNaN: true }),
        fc.double({ min: 8, max: 200, noNaN: true }),
        (wanted, failed, passed) => {
          const { start, probability } = startFor(wanted, rate(failed, passed))
          expect(probability).toBeCloseTo(byUrn(wanted, start, failed, passed), 9)
          if (start < 2 * wanted + 20) expect(probability).toBeGreaterThanOrEqual(0.95)
          if (start > wanted) expect(byUrn(wanted, start - 1, failed, passed)).toBeLessThan(0.95)
        },
      ),
      { seed: 2 },
    )
  })

  test('a failure rate that is sure gives the binomial law', () => {
    // one lead in ten fails, surely: 5 started, 4 wanted: 0.9^5 + 5·0.9^4·0.1
    expect(enoughGood(4, 5, rate(1e7, 9e7))).toBeCloseTo(0.9 ** 5 + 5 * 0.9 ** 4 * 0.1, 5)
  })

  test('a rate that nobody is sure of asks for more than a sure one of the same mean', () => {
    expect(startFor(60, rate(1, 19)).start).toBeGreaterThan(startFor(60, rate(100, 1_900)).start)
  })
})

describe('kit', () => {
  const question = (pieces: number[]) => ({
    orders: leads,
    parts: [{ part: 'SLV', what: 'sleeve', connector: 'N-C-059', pieces: 1 }],
    stock: pieces.map((n, i) => ({
      part: 'N-C-059',
      lot: `L${i}`,
      receivedDate: `2031-01-0${9 - i}`,
      pieces: n,
    })),
    startOf: ({ qty }: { qty: number }) => qty,
  })

  test('counts both ends, gives earlier lines theirs first and takes the oldest lot first', () => {
    // 7119 is due 2031-03-12, 7152 (one end) on the 13th
    const [first] = kitList(order('7119'), question([5, 20]))
    expect(first).toMatchObject({
      part: 'N-C-059',
      needed: 8,
      earlierLines: 0,
      short: 0,
      take: [{ lot: 'L1', pieces: 8 }],
    })
    const [later] = kitList(order('7152'), question([5, 6]))
    expect(later).toMatchObject({ needed: 1, earlierLines: 8, short: 0, take: [{ lot: 'L0', pieces: 1 }] })
    const [short] = kitList(order('7152'), question([8]))
    expect(short).toMatchObject({ short: 1, take: [] })
  })

  test('stock that is not recorded is unknown, not nought', () => {
    expect(kitList(order('7119'), { ...question([]), stock: null })[0]).toMatchObject({
      inStock: null,
      short: null,
    })
  })

  test('over all lines no piece is given out twice, and what is short is what the stock lacks', () => {
    const asked = question([7, 30, 11])
    const all = leads.flatMap((line) => kitList(line, asked).filter(({ part }) => part === 'N-C-059'))
    const needed = all.reduce((sum, need) => sum + need.needed, 0)
    const taken = all.flatMap(({ take }) => take).reduce((sum, { pieces }) => sum + pieces, 0)
    expect(taken).toBe(Math.min(needed, 48))
    expect(all.reduce((sum, need) => sum + need.short!, 0)).toBe(needed - taken)
  })
})

describe('tools', () => {
  const tool = (id: string, kind: Tool['kind'], more: Partial<Tool> = {}): Tool => ({
    ...{
      tool: id,
      kind,
      what: null,
      hexAfMm: null,
      connection: null,
      settingMinNm: null,
      settingMaxNm: null,
    },
    ...{ calibrationDueDate: null, ...more },
  })
  const troubleOf = (tools: Tool[] | null, kind: Tool['kind'], part = 'N-C-059') =>
    toolList([connectorOf(part)], tools, '2031-03-03').find((need) => need.kind === kind)?.trouble

  test('the die must be of the size, the wrench of the interface and range, and in date', () => {
    expect(troubleOf([tool('D', 'die', { hexAfMm: 5.44 })], 'die')).toContain('none on record')
    expect(troubleOf([tool('D', 'die', { hexAfMm: 6.52 })], 'die')).toBeNull()
    const wrench = { connection: 'N', settingMinNm: 1.2, settingMaxNm: 3 }
    expect(troubleOf([tool('W', 'wrench', wrench)], 'wrench')).toContain('none on record')
    const fits = { ...wrench, settingMinNm: 0.5 }
    expect(
      troubleOf([tool('W', 'wrench', { ...fits, calibrationDueDate: '2031-03-02' })], 'wrench'),
    ).toContain('2031-03-02')
    expect(
      troubleOf([tool('W', 'wrench', { ...fits, calibrationDueDate: '2031-03-03' })], 'wrench'),
    ).toBeNull()
    expect(troubleOf(null, 'die')).toContain('not recorded')
  })

  test('bayonets need no wrench, clamped connectors no die', () => {
    const kinds = (part: string) => toolList([connectorOf(part)], [], '2031-03-03').map(({ kind }) => kind)
    expect(kinds('BNC-C-049')).not.toContain('wrench')
    expect(kinds('716-S-110')).toEqual(expect.arrayContaining(['clamp_spanner', 'iron', 'wrench']))
    expect(kinds('716-S-110')).not.toContain('die')
  })

  test('a torque far from what is customary is looked at: 25 to 30 inch-pounds are no 25 to 30 N m', () => {
    const written = { ...connectorOf('N-C-059'), torqueMinNm: 6, torqueMaxNm: 10 }
    const wrench = (end: Connector) => toolList([end], [], '2031-03-03').find(({ kind }) => kind === 'wrench')
    expect(wrench(written)?.what).toContain('look at the unit')
    expect(wrench(connectorOf('N-C-059'))).toMatchObject({ settingNm: 0.9, what: 'N, 0.7 to 1.1 N m' })
  })
})

describe('the sheet of a line', () => {
  test.each(leads.map((line) => [`${line.order}/${line.line}`, line] as const))('%s is whole', (_, line) => {
    const sheet = jobSheet(works, NOTHING, line)
    expect(sheet.cut.cutLengthMm).toBe(sheet.cut.sheetCutMm)
    expect(sheet.start.start).toBeGreaterThanOrEqual(line.qty)
    expect(sheet.steps.map(({ bench }) => bench)).not.toContain(null)
    const names = sheet.steps.map(({ name }) => name)
    expect(names.indexOf('fit A')).toBeLessThan(names.indexOf('strip B'))
    // the trim needs an open end
    expect(names.includes('trim')).toBe(line.matchedSet !== null)
    if (names.includes('trim')) expect(names.indexOf('trim')).toBe(names.indexOf('strip B') - 1)
    for (const step of sheet.steps.filter(({ name }) => /^(cut|strip|hipot|fit)/.test(name)))
      expect(step.dangers.length).toBeGreaterThan(0)
    const loss = sheet.limits.list.find(({ name }) => name === 'insertion loss')!
    expect(loss.acceptMost).toBeCloseTo(loss.most! - 0.05, 9)
    for (const drawing of [
      leadDrawing({ ...sheet, width: 700, textSize: 14 }),
      leadEndDrawing({ end: 'A', strip: sheet.stripA, width: 420, textSize: 14 }),
      leadEndDrawing({ end: 'B', strip: sheet.stripB, width: 420, textSize: 14 }),
    ])
      expectInside(drawing)
  })

  function expectInside({ shapes, width, height }: ReturnType<typeof leadDrawing>) {
    for (const shape of shapes) {
      if (shape.kind === 'text') {
        const from = { start: 0, middle: 0.5, end: 1 }[shape.anchor]
        expect(shape.x - from * shape.width).toBeGreaterThanOrEqual(0)
        expect(shape.x + (1 - from) * shape.width).toBeLessThanOrEqual(width)
        expect(shape.y).toBeLessThanOrEqual(height)
      }
      if (shape.kind === 'rect') {
        expect(shape.width).toBeGreaterThanOrEqual(0)
        expect(shape.x + shape.width).toBeLessThanOrEqual(width + 1e-9)
      }
    }
  }

  test('strip lengths are drawn to one scale', () => {
    const { stripA } = jobSheet(works, NOTHING, order('7119'))
    const { shapes } = leadEndDrawing({ end: 'A', strip: stripA, width: 600, textSize: 14 })
    const boxes = shapes.flatMap((s) =>
      s.kind === 'rect' && s.fill !== 'dots' && s.fill !== 'crossed' && s.fill !== 'diagonal' ? [s] : [],
    )
    const [inner, dielectric, braid, jacket] = boxes.map(({ x, width }) => x + width)
    const perMm = (inner! - jacket!) / stripA.jacketMm
    expect((inner! - braid!) / perMm).toBeCloseTo(stripA.braidMm, 9)
    expect((inner! - dielectric!) / perMm).toBeCloseTo(stripA.dielectricMm, 9)
    expect(boxes[3]!.height / perMm).toBeCloseTo(stripA.odMm, 9)
  })

  test('what is left of a failed lead serves a line that is short enough, never a longer one', () => {
    const { ifOneFails } = jobSheet(works, NOTHING, order('7154'))
    expect(ifOneFails.serves.length).toBeGreaterThan(0)
    for (const { cutMm } of ifOneFails.serves) expect(cutMm).toBeLessThanOrEqual(ifOneFails.cableLeftMm)
    expect(jobSheet(works, NOTHING, order('7121')).ifOneFails.says).toContain('scrap')
  })

  test('times of the works count instead of ours', () => {
    const minutes = (
      benchTimes: typeof NOTHING.benchTimes | { task: 'rf'; minutes: number; source: string }[],
    ) => jobSheet(works, { ...NOTHING, benchTimes }, order('7124'))
    const [ours, theirs] = [minutes(null), minutes([{ task: 'rf', minutes: 11.5, source: 'book' }])]
    expect(theirs.minutes - ours.minutes).toBeCloseTo(10 * ours.start.start, 6)
  })
})

describe('what to make when', () => {
  test('every lead line stands once, days rise, and lines of one set-up stand together', () => {
    const groups = dueGroups(works.orders, works.connectors, works.site.works.todayDate)
    const lines = groups.flatMap(({ setups }) => setups.flatMap((setup) => setup.lines))
    expect(lines.map(({ order: id, line }) => `${id}/${line}`).sort()).toEqual(
      leads.map((o) => `${o.order}/${o.line}`).sort(),
    )
    expect(groups.map(({ dueDate }) => dueDate)).toEqual(
      [...new Set(leads.map(({ dueDate }) => dueDate))].sort(),
    )
    for (const { setups } of groups) {
      const keys = setups.map(({ cable, connA, connB }) => [cable, connA, connB].join())
      expect(new Set(keys).size).toBe(keys.length)
    }
  })

  test('a day begins with the set-up that is on the bench', () => {
    const like = (id: string, of: string, dueDate: string) => ({ ...order(of), order: id, dueDate })
    const orders = [
      like('1', '7124', '2031-03-04'),
      like('2', '7121', '2031-03-05'),
      like('3', '7124', '2031-03-05'),
    ]
    const [, second] = dueGroups(orders, works.connectors, '2031-03-03')
    expect(second!.setups.map(({ lines }) => lines[0]!.order)).toEqual(['3', '2'])
  })

  test('batches follow the plan and pass over bulk', () => {
    const piece = (id: string, fromUm: number, count: number) => ({
      ...{ use: 'piece' as const, order: id, orderLine: 1, piece: 1, part: 1, count, putup: null },
      ...{ fromUm, toUm: fromUm + 5_000_000, declaredUm: 980_500 },
    })
    const mountings = [
      {
        drum: 'R1',
        line: 'B1',
        intervals: [
          { use: 'end' as const, fromUm: 0, toUm: 9 },
          piece('7124', 9, 5),
          piece('7101', 5_000_009, 1),
        ],
      },
    ]
    expect(leadBatches(mountings, (id) => id === '7124')).toMatchObject([
      { order: '7124', mounting: 1, drum: 'R1', fromUm: 9, pieces: 5, cutUm: 980_500 },
    ])
  })
})
