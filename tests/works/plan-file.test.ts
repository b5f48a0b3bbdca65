import { describe, expect, test } from 'vitest'
import type { Plan } from '../../src/plan/plan.ts'
import { readCsv } from '../../src/works/csv-text.ts'
import { writeCsv } from '../../src/works/csv-write.ts'
import { parseWorks } from '../../src/works/parse-works.ts'
import { planCsv, planFile, unservedCsv } from '../../src/works/plan-file.ts'
import { kelderwickFiles } from './kelderwick-files.ts'

const parsed = parseWorks('kelderwick', kelderwickFiles())
if (!parsed.ok) throw new Error('the demo works is refused')
const input = parsed.works

const PLAN: Plan = {
  works: 'kelderwick',
  seed: 7,
  work: 1234,
  mountings: [
    {
      drum: 'D012',
      line: 'RW-2',
      intervals: [
        { use: 'end', fromUm: 0, toUm: 5_000_000 },
        {
          use: 'piece',
          fromUm: 5_000_000,
          toUm: 30_325_001,
          order: '7105',
          orderLine: 1,
          piece: 1,
          part: 1,
          count: 1,
          declaredUm: 25_000_000,
          putup: 'C-220',
        },
        { use: 'scrap', fromUm: 30_325_001, toUm: 30_700_000, cause: '=fault, F003' },
        { use: 'remnant', fromUm: 30_700_000, toUm: 100_000_000, putup: 'PD-400' },
        { use: 'remnant', fromUm: 100_000_000, toUm: 1_040_000_000, putup: null },
      ],
    },
    { drum: 'R003', line: 'B1', intervals: [{ use: 'remnant', fromUm: 0, toUm: 30_900_000, putup: null }] },
  ],
  unserved: [
    {
      order: '7118',
      orderLine: 1,
      pieces: 1,
      reason: 'No stretch, anywhere, is long enough.',
      offer: { lengthUm: 642_557_442, drum: 'D039', lot: 'L102Z75-3103B' },
    },
    { order: '7117', orderLine: 1, pieces: 1, reason: 'No lot holds both.', offer: null },
  ],
  unservedMicro: 1_234_565_000,
  costMicro: -99_994_999,
  costItems: {
    stockValueLost: 10_004_999,
    copperReturned: -1_000_000,
    mountings: 0,
    putupChanges: 0,
    windOffs: 5_000,
    putups: 0,
    materialDelivered: -109_000_000,
  },
  bound: { unservedMicro: 1_234_565_000, costMicro: -100_119_000 },
  stopped: false,
  byCable: [],
  deliveredMicro: 109_000_000,
}

describe('plan.json in the form of the plan judge', () => {
  const file = JSON.parse(JSON.stringify(planFile(PLAN, input)))

  test('metres are exact, with no binary noise and no needless key', () => {
    expect(file.mountings[0].intervals).toEqual([
      { fromM: 0, toM: 5, use: 'end' },
      {
        fromM: 5,
        toM: 30.325001,
        use: 'piece',
        order: '7105',
        orderLine: 1,
        piece: 1,
        part: 1,
        count: 1,
        declaredM: 25,
        putup: 'C-220',
      },
      { fromM: 30.325001, toM: 30.7, use: 'scrap', cause: '=fault, F003' },
      { fromM: 30.7, toM: 100, use: 'remnant', putup: 'PD-400' },
      { fromM: 100, toM: 1040, use: 'remnant' },
    ])
  })

  test('money is rounded once to cents, bounds downwards', () => {
    expect(file).toMatchObject({
      format: 'lastmetre-plan',
      version: 1,
      works: 'kelderwick',
      seed: 7,
      work: 1234,
    })
    expect(file.costEur).toBe(-99.99)
    expect(file.costItems).toMatchObject({ stockValueLost: 10, copperReturned: -1, windOffs: 0.01 })
    expect(file.bound).toEqual({ unservedEur: 1234.56, costEur: -100.12 })
  })

  test('a mounting with a piece that is due within two days is of today', () => {
    // 7105 is due 2031-03-07, four days after the planning day
    expect(file.mountings.map((m: { when: string }) => m.when)).toEqual(['later', 'later'])
    const early = {
      ...input,
      site: { ...input.site, works: { ...input.site.works, todayDate: '2031-03-05' } },
    }
    expect(planFile(PLAN, early)).toMatchObject({
      mountings: [{ when: 'today', mountingNumber: 1 }, { when: 'later' }],
    })
  })

  test('unserved lines carry their reason and what can be offered', () => {
    expect(file.unserved[0].offer).toEqual({ lengthM: 642.557442, drum: 'D039', lot: 'L102Z75-3103B' })
    expect(file.unserved[1]).toEqual({ order: '7117', orderLine: 1, pieces: 1, reason: 'No lot holds both.' })
  })
})

test('plan.csv and unserved.csv read back as tables of equal width, without live formulas', () => {
  const plan = readCsv(planCsv(PLAN, input))
  expect(plan.rows).toHaveLength(6)
  for (const row of plan.rows) expect(row.cells).toHaveLength(plan.header!.cells.length)
  const column = (name: string) => plan.header!.cells.indexOf(name)
  expect(plan.rows[1]?.cells[column('declared_m')]).toBe('25')
  expect(plan.rows[1]?.cells[column('due_date')]).toBe('2031-03-07')
  expect(plan.rows[2]?.cells[column('cause')]).toBe("'=fault, F003")
  const unserved = readCsv(unservedCsv(PLAN, input))
  expect(unserved.rows.map((row) => row.cells.length)).toEqual([13, 13])
  expect(unserved.rows[0]?.cells.slice(0, 6)).toEqual([
    '7118',
    '1',
    'X-42 Velandrine Marine',
    'C102-75',
    '700',
    'm',
  ])
})

test('text that a spreadsheet would run is disarmed, numbers are left alone', () => {
  // the four signs and the tab: OWASP, CSV injection
  const text = writeCsv(
    ['a', 'b'],
    [
      ['=1+1', -1.5],
      ['+49', null],
      ['-x', 0],
      ['@a', 1],
      ['\tq', 2],
      ['say "hi"', 3],
    ],
  )
  expect(text).toBe(`a,b\r\n'=1+1,-1.5\r\n'+49,\r\n'-x,0\r\n'@a,1\r\n'\tq,2\r\n"say ""hi""",3\r\n`)
})

test.each([Number.NEGATIVE_INFINITY, null])(
  'a bound on cost that was not proven (%s) is absent, never a figure',
  (costMicro) => {
    const plan = { ...PLAN, bound: { ...PLAN.bound, costMicro: costMicro as number } }
    const { bound } = planFile(plan, input) as { bound: object }
    expect(Object.keys(bound)).toEqual(['unservedEur'])
  },
)
