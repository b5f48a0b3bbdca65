import fc from 'fast-check'
import { expect, test } from 'vitest'
import { parseWorks } from '../../src/works/parse-works.ts'
import { WORKS_FILES } from '../../src/works/works-files.ts'
import { encoded, kelderwickFiles, kelderwickText } from './kelderwick-files.ts'

const HEADER = kelderwickText('orders.csv').split('\r\n')[0]!

function withText(name: string, text: string) {
  return parseWorks('kelderwick', kelderwickFiles().set(name, encoded(text)))
}

function accepted(files: Map<string, Uint8Array>) {
  const result = parseWorks('kelderwick', files)
  if (!result.ok) throw new Error(JSON.stringify(result.problems.slice(0, 3)))
  return result
}

test('a million rows end with a clear message, and at most 1000 problems are listed', () => {
  const result = withText('orders.csv', `order,line\n${'7100,1\n'.repeat(1_000_000)}`)
  if (result.ok) throw new Error('accepted')
  expect(result.problems).toHaveLength(1000)
  expect(result.more).toBeGreaterThan(100_000)
  const rows = withText('faults.csv', `${'x,'.repeat(11)}x\n${`${'y,'.repeat(11)}y\n`.repeat(300_000)}`)
  expect(rows.ok).toBe(false)
})

test('a header of millions of columns, a wall of quotes and a text of one line are refused, not read for ever', () => {
  for (const text of [','.repeat(15_000_000), '"'.repeat(15_000_001), 'a"b,\n'.repeat(3_000_000)])
    expect(withText('orders.csv', text).ok).toBe(false)
})

test('JSON nested without end, with millions of values or with the same key again and again is refused', () => {
  for (const text of [
    '['.repeat(5_000_000),
    `[${'{},'.repeat(3_000_000)}{}]`,
    `{${'"a":1,'.repeat(2_000_000)}"a":2}`,
  ]) {
    const result = withText('lines.json', text)
    if (result.ok) throw new Error('accepted')
    expect(result.problems[0]).toMatchObject({ file: 'lines.json' })
  }
})

test('two hundred thousand references to nothing are told in linear time', () => {
  const line = '1,FR,K,web,bulk,C1,1,1,m,,,,,yes,,,,none,yes,P,,,jacket,,,,,,,,2031-03-12,1,'
  const rows = Array.from({ length: 100_000 }, (_, i) => `N${i},${line}`)
  const result = withText('orders.csv', [HEADER, ...rows].join('\n'))
  if (result.ok) throw new Error('accepted')
  expect(result.problems).toHaveLength(1000)
  expect(result.more).toBe(300_000 - 1000)
})

test('a name with markup, a right-to-left mark or a quote is text like any other', () => {
  const name = '<img src=x onerror=alert(1)>"\u202e; DROP TABLE orders'
  const quoted = `"${name.replaceAll('"', '""')}"`
  const files = kelderwickFiles()
  const text = kelderwickText('orders.csv').replace('X-41 Sahrivan Telecom', () => quoted)
  const { works } = accepted(files.set('orders.csv', encoded(text)))
  expect(works.orders[0]?.customer).toBe(name)
})

test.each(['constructor', 'toString', 'hasOwnProperty', 'CON', 'NaN', '0', '7e3'])(
  'the id %s works everywhere',
  (id) => {
    const files = kelderwickFiles()
    for (const name of WORKS_FILES) {
      const text = kelderwickText(name)
      const renamed = name.endsWith('.csv')
        ? text
            .replaceAll('C059-50', id)
            .replaceAll(/(^|,)D007(?=,)/gm, `$1${id}`)
            .replaceAll(/(^|,)PD-400(?=,)/gm, `$1${id}`)
        : text.replaceAll('"C059-50"', `"${id}"`).replaceAll('"PD-400"', `"${id}"`)
      files.set(name, encoded(renamed))
    }
    const { works } = accepted(files)
    expect(works.cables.some((c) => c.cable === id)).toBe(true)
    expect(works.costs.listPriceEurM[id]).toBe(0.72)
  },
)

test('a cable named like a member of every object still needs its price', () => {
  const files = kelderwickFiles()
  for (const name of WORKS_FILES)
    if (name.endsWith('.csv'))
      files.set(name, encoded(kelderwickText(name).replaceAll('C059-50', 'toString')))
  const result = parseWorks('kelderwick', files)
  if (result.ok) throw new Error('accepted')
  expect(result.problems.map((p) => p.column)).toEqual([
    'list_price_eur_m.toString',
    'material_cost_eur_m.toString',
  ])
})

test('any bytes in any file give a works or problems, never an exception', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...WORKS_FILES),
      fc.array(fc.tuple(fc.nat(), fc.integer({ min: 0, max: 255 })), { minLength: 1, maxLength: 8 }),
      fc.option(fc.nat(), { nil: undefined }),
      (name, changes, cut) => {
        const files = kelderwickFiles()
        let bytes = files.get(name)!.slice()
        for (const [at, value] of changes) bytes[at % bytes.length] = value
        if (cut !== undefined) bytes = bytes.slice(0, cut % bytes.length)
        const result = parseWorks('kelderwick', files.set(name, bytes))
        if (result.ok) return
        expect(result.problems.length).toBeGreaterThan(0)
        for (const { file, wrong, right } of result.problems) {
          expect(WORKS_FILES).toContain(file)
          expect(wrong.length).toBeGreaterThan(0)
          expect(wrong.length).toBeLessThan(400)
          expect(right.length).toBeGreaterThan(0)
        }
      },
    ),
    { numRuns: 150 },
  )
})

test('any text in a cell is kept as it is or refused with its place', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary', maxLength: 30 }), (customer) => {
      const quoted = `"${customer.replaceAll('"', '""')}"`
      const text = kelderwickText('orders.csv').replace('X-41 Sahrivan Telecom', () => quoted)
      const result = withText('orders.csv', text)
      if (!result.ok)
        expect(result.problems).toMatchObject([{ file: 'orders.csv', row: 2, column: 'customer' }])
      else expect(result.works.orders[0]?.customer).toBe(customer)
    }),
    { numRuns: 100 },
  )
})
