import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { droppedText } from '../../src/works/dropped-text.ts'
import { parseWorks } from '../../src/works/parse-works.ts'
import { previewOrders } from '../../src/works/preview-orders.ts'
import type { OrdersContent } from '../../src/works/table.ts'
import { encoded, kelderwickFiles, kelderwickText } from './kelderwick-files.ts'

function preview(content: OrdersContent | string) {
  return previewOrders(
    'kelderwick',
    kelderwickFiles(),
    typeof content === 'string' ? { text: content } : content,
  )
}

const GERMAN = [
  'Auftrag\tPos\tMarkt\tKunde\tKanal\tKabel\tMenge\tLänge (m)\tTermin\tPreis',
  '9001\t1\tDE\tMüller & Söhne\tdealer\tC081-50\t3\t12,5\t07.03.2031\t45,20 €',
  '7100\t1\tEXP\tX-41 Sahrivan Telecom\texport\tC110-50\t1\t700\t12.03.2031\t1200,00',
].join('\r\n')

test('what a German spreadsheet gives is understood: tab, headings, decimal comma, date, euro sign', () => {
  const { preview: found, ordersCsv } = preview(GERMAN)
  expect(found.problems).toEqual([])
  expect(found.understood).toMatchObject({ source: 'tab', decimalMark: ',', rows: 2 })
  expect(found.understood.columns[7]).toEqual({ found: 'Länge (m)', takenAs: 'length' })
  expect(found.rows[0]).toMatchObject({
    order: '9001',
    customer: 'Müller & Söhne',
    kind: 'bulk',
    length: '12.5',
    unit: 'm',
    due_date: '2031-03-07',
    price_eur: '45.20',
    single_length: 'yes',
    faults_allowed: 'none',
    print_required: 'yes',
    length_definition: 'jacket',
    tol_minus_pct: '',
  })
  expect(found.understood.notes).toContain('Lengths are in m, as the heading says.')
  expect(found.replaces).toEqual([{ order: '7100', line: 1 }])
  expect(ordersCsv).not.toBeNull()
})

test('what is stored is the works with the new line added and the old one in its place replaced', () => {
  const { ordersCsv } = preview(GERMAN)
  const result = parseWorks('kelderwick', kelderwickFiles().set('orders.csv', ordersCsv!))
  const before = parseWorks('kelderwick', kelderwickFiles())
  if (!result.ok || !before.ok) throw new Error('refused')
  const { orders } = result.works
  expect(orders).toHaveLength(before.works.orders.length + 1)
  expect(orders[0]).toMatchObject({ order: '7100', lengthUm: 700_000_000, priceEur: 1200 })
  expect(orders.slice(1, -1)).toEqual(before.works.orders.slice(1))
  expect(orders.at(-1)).toMatchObject({ order: '9001', lengthUm: 12_500_000, customer: 'Müller & Söhne' })
})

test('orders.csv itself, by comma, by semicolon or as cells of a workbook, changes nothing', () => {
  const text = kelderwickText('orders.csv')
  const rows = text
    .trimEnd()
    .split('\r\n')
    .map((line) => line.split(/,(?=(?:[^"]*"[^"]*")*[^"]*$)/))
  const cells = rows.map((row) => row.map((cell) => cell.replace(/^"(.*)"$/, '$1')))
  for (const content of [{ text }, { text: rows.map((row) => row.join(';')).join('\n') }, { cells }]) {
    const { preview: found, ordersCsv } = preview(content)
    expect(found.problems).toEqual([])
    expect(found.replaces).toHaveLength(rows.length - 1)
    expect(found.understood.notes).toEqual([])
    expect(new TextDecoder().decode(ordersCsv!)).toBe(text)
  }
})

describe('rather refused than guessed', () => {
  const row = (length: string, date = '2031-03-07', qty = '2', price = '10') =>
    `order;market;customer;channel;cable;qty;length;unit;due_date;price_eur\n9001;DE;K;web;C081-50;${qty};${length};m;${date};${price}`
  const problems = (text: string) =>
    preview(text).preview.problems.map(({ row: at, column, wrong }) => `${at} ${column} ${wrong}`)

  test.each([
    [
      'a thousands dot beside a decimal comma',
      row('1.200', '2031-03-07', '2', '10,5'),
      '2 length “1.200” has a thousands sign',
    ],
    ['a figure that may be thousands', row('1,200'), '2 length “1,200” may be 1200'],
    ['a dot figure that may be thousands', row('1.200'), '2 length “1.200” may be 1200'],
    ['both marks in one figure', row('1.200,50'), '2 length “1.200,50” has a thousands sign'],
    ['a blank as thousands sign', row('1 200'), '2 length “1 200” has a thousands sign'],
    ['a quantity with a thousands dot', row('12', '2031-03-07', '1.000'), '2 qty “1.000” is not whole'],
    ['31 February', row('12', '31.02.2031'), '2 due_date “31.02.2031” is a date that does not exist'],
    ['a date in words', row('12', '7 March'), '2 due_date “7 March” is no date'],
  ])('%s', (_name, text, wrong) => {
    expect(problems(text)).toHaveLength(1)
    expect(problems(text)[0]).toContain(wrong)
  })

  test('a length with three decimals is taken once another figure shows the mark', () => {
    expect(preview(row('1,524', '2031-03-07', '2', '10,5')).preview.rows[0]).toMatchObject({
      length: '1.524',
    })
    expect(preview(row('0,152')).preview.rows[0]).toMatchObject({ length: '0.152' })
  })

  test('dates with slashes: day first, unless one of them can only be month first; it is said', () => {
    expect(preview(row('12', '07/03/2031')).preview.rows[0]).toMatchObject({ due_date: '2031-03-07' })
    const american = preview(row('12', '03/17/2031')).preview
    expect(american.rows[0]).toMatchObject({ due_date: '2031-03-17' })
    expect(american.understood.notes).toContain('Dates with slashes are read month first.')
  })

  test('what the works does not know is told with the row of the pasted content', () => {
    const { preview: found, ordersCsv } = preview(row('12').replace('C081-50', 'C081-5'))
    expect(found.problems).toMatchObject([{ file: 'pasted content', row: 2, column: 'cable' }])
    expect(ordersCsv).toBeNull()
  })

  test('the same order line twice', () => {
    const twice = preview(GERMAN.replace('9001', '7100')).preview
    expect(twice.problems).toMatchObject([{ row: 3, column: 'line' }])
  })

  test('a formula, nothing, no headings, a missing column', () => {
    expect(problems(row('12').replace(';K;', ';=1+1;'))[0]).toContain(
      '2 customer “=1+1” looks like a formula',
    )
    expect(problems('')).toEqual(['null null there is nothing in it'])
    expect(problems('7100;1;DE\n7101;1;DE')[0]).toContain('1 null the first row names no column')
    expect(problems(row('12').replace(';cable;', ';wire;'))[0]).toContain(
      '1 cable no column is understood as',
    )
  })
})

test('a line with connectors is a line of leads, in feet as its heading says', () => {
  const text =
    'PO,Market,Client,Channel,Cable,Pcs,Length (ft),Connector A,Connector B,Due date,Amount,Shelf\n9002,US,C,dealer,C110-50,4,3.5,N-C-110,N-C-110,03/17/2031,99.5,x'
  const { preview: found } = preview(text)
  expect(found.problems).toEqual([])
  expect(found.rows[0]).toMatchObject({
    kind: 'lead',
    unit: 'ft',
    length: '3.5',
    length_definition: 'tip_to_tip',
  })
  expect(found.understood.columns.at(-1)).toEqual({ found: 'Shelf', takenAs: null })
})

test('a broken orders.csv or any pasted text gives problems, never an exception', () => {
  const files = kelderwickFiles().set('orders.csv', encoded('nothing'))
  expect(previewOrders('k', files, { text: GERMAN }).ordersCsv).toBeNull()
  fc.assert(
    fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (text) => {
      const { preview: found, ordersCsv } = preview(text)
      expect(ordersCsv === null).toBe(found.problems.length > 0)
    }),
    { numRuns: 50 },
  )
})

test('a dropped file is read in the three encodings that spreadsheets save', () => {
  const text = 'Kunde;Länge\nMüller;5'
  expect(droppedText(encoded(text))).toBe(text)
  expect(droppedText(new Uint8Array(Buffer.from(text, 'latin1')))).toBe(text)
  const utf16 = Buffer.from(text, 'utf16le')
  expect(droppedText(new Uint8Array(Buffer.concat([Buffer.from([0xff, 0xfe]), utf16])))).toBe(text)
  expect(
    droppedText(new Uint8Array(Buffer.concat([Buffer.from([0xfe, 0xff]), Buffer.from(utf16).swap16()]))),
  ).toBe(text)
})

test('in a workbook numbers are numbers, and text with a decimal comma is understood over the whole sheet', () => {
  const cells = [
    ['order', 'market', 'customer', 'channel', 'cable', 'qty', 'length', 'unit', 'due_date', 'price_eur'],
    [9001, 'DE', 'K', 'web', 'C081-50', 2, '12,5', 'm', '2031-03-07', 1234.5],
    [9002, 'DE', 'K', 'web', 'C081-50', '2', '1,524', 'm', '07.03.2031', '45,20 €'],
    [9003, 'DE', 'K', 'web', 'C081-50', 2, 1.524, 'm', '2031-03-07', 10],
  ]
  const { preview: found } = preview({ cells })
  expect(found.problems).toEqual([])
  expect(found.understood.decimalMark).toBe(',')
  expect(found.rows.map(({ order, qty, length, price_eur }) => [order, qty, length, price_eur])).toEqual([
    ['9001', '2', '12.5', '1234.5'],
    ['9002', '2', '1.524', '45.20'],
    ['9003', '2', '1.524', '10'],
  ])
})

test('all breaches at once: a date that cannot be read hides no other bad cell', () => {
  const text = [
    'order;market;customer;channel;cable;qty;length;unit;due_date;price_eur',
    '9001;DE;K;web;C081-5;2;12,5;m;31.02.2031;10',
    '9002;DE;=1+1;web;C081-50;0;12,5;m;07.03.2031;10',
  ].join('\n')
  const { preview: found, ordersCsv } = preview(text)
  expect(found.problems.map(({ file, row, column }) => [file, row, column])).toEqual([
    ['pasted content', 2, 'due_date'],
    ['pasted content', 2, 'cable'],
    ['pasted content', 3, 'customer'],
    ['pasted content', 3, 'qty'],
  ])
  expect(ordersCsv).toBeNull()
  const lacking = preview(text.replaceAll('DE;', '').replace('market;', '')).preview
  expect(lacking.problems[0]).toMatchObject({ row: 1, column: 'market' })
  expect(lacking.problems.filter(({ column }) => column === 'market')).toHaveLength(1)
  expect(lacking.problems).toHaveLength(5)
})
