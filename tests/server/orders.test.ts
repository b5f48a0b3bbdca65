import { zipSync } from 'fflate'
import { describe, expect, it } from 'vitest'
import writeXlsxFile from 'write-excel-file/node'
import type { App } from '../../src/server/app.ts'
import type { OrdersPreview } from '../../src/works/api.ts'
import { ask, demoApp, multipart } from './harness.ts'

const HEADER = [
  'order',
  'line',
  'market',
  'customer',
  'channel',
  'cable',
  'qty',
  'length',
  'unit',
  'due_date',
  'price_eur',
]

/** One sound order line for the demo works, in the columns of HEADER. */
function orderRow(app: App, change: Record<string, string> = {}): string[] {
  const { markets, cables } = app.works.current().works
  const row: Record<string, string> = {
    order: 'NEW-1',
    line: '1',
    market: markets[0]?.market ?? '',
    customer: 'Somebody',
    channel: 'web',
    cable: cables[0]?.cable ?? '',
    qty: '2',
    length: '12.5',
    unit: 'm',
    due_date: '2031-03-05',
    price_eur: '30.10',
    ...change,
  }
  return HEADER.map((name) => row[name] ?? '')
}

async function preview(app: App, text: string): Promise<OrdersPreview> {
  const answer = await ask(app, { method: 'POST', url: '/api/orders/preview', payload: { text } })
  expect(answer.status).toBe(200)
  return answer.body as OrdersPreview
}

async function drop(app: App, name: string, bytes: Uint8Array) {
  const form = multipart({}, [{ name, bytes }])
  return ask(app, { method: 'POST', url: '/api/orders/preview', ...form })
}

async function orderCount(app: App): Promise<number> {
  const { body } = await ask(app, { url: '/api/works' })
  return (body as { counts: { orders: number } }).counts.orders
}

describe('order lines that are pasted', () => {
  it('are shown as understood and stored only after the press, once', async () => {
    const app = await demoApp()
    const row = orderRow(app, { length: '12,5', price_eur: '30,10' })
    const shown = await preview(app, `${HEADER.join(';')}\n${row.join(';')}\n`)
    expect(shown).toMatchObject({
      understood: { source: 'semicolon', decimalMark: ',', rows: 1 },
      problems: [],
    })
    expect(shown.rows[0]).toMatchObject({ order: 'NEW-1', length: '12.5' })
    expect(await orderCount(app)).toBe(120)

    const press = { method: 'POST', url: '/api/orders', payload: { token: shown.token } } as const
    expect(await ask(app, press)).toMatchObject({
      status: 200,
      body: { version: 2, counts: { orders: 121 } },
    })
    expect(await ask(app, press)).toMatchObject({ status: 409, body: { code: 'preview-stale' } })
    expect(await orderCount(app)).toBe(121)
  })

  it('are not stored on another state of the works than they were checked against', async () => {
    const app = await demoApp()
    const text = (change: Record<string, string>) =>
      [HEADER, orderRow(app, change)].map((r) => r.join('\t')).join('\n')
    const first = await preview(app, text({ order: 'A' }))
    const second = await preview(app, text({ order: 'B' }))
    expect(
      await ask(app, { method: 'POST', url: '/api/orders', payload: { token: first.token } }),
    ).toMatchObject({ status: 200 })
    const late = await ask(app, { method: 'POST', url: '/api/orders', payload: { token: second.token } })
    expect(late).toMatchObject({ status: 409, body: { code: 'preview-stale' } })
    expect(await orderCount(app)).toBe(121)
  })

  it.each([
    ['a day that is none', { due_date: '2031-02-31' }],
    ['a formula', { customer: '=cmd()' }],
    ['a path as an id', { order: '../../etc' }],
    ['a number beyond range', { qty: '99999999999999999999' }],
    ['a cable that is none', { cable: 'constructor' }],
  ])('are refused with the cell: %s', async (_what, change) => {
    const app = await demoApp()
    const shown = await preview(app, [HEADER, orderRow(app, change)].map((r) => r.join('\t')).join('\n'))
    const [column] = Object.keys(change)
    expect(shown.problems).toEqual([expect.objectContaining({ row: 2, column })])
    const press = await ask(app, { method: 'POST', url: '/api/orders', payload: { token: shown.token } })
    expect(press.status).toBeGreaterThanOrEqual(400)
    expect(await orderCount(app)).toBe(120)
  })

  it.each(['', '\n\n\n', '\u0000', 'order', '"', '{"__proto__":1}', '<script>alert(1)</script>'])(
    'are refused in words where they are none: %j',
    async (text) => {
      const app = await demoApp()
      const { problems, token } = await preview(app, text)
      expect(problems.length).toBeGreaterThan(0)
      expect(token).toBe('')
    },
  )

  it('are bounded', async () => {
    const app = await demoApp()
    const text = `${HEADER.join('\t')}\n${'x\n'.repeat(1_000_000)}`
    const { problems, more, rows } = await preview(app, text)
    expect(problems.length).toBeGreaterThan(0)
    expect(problems.length).toBeLessThanOrEqual(1_000)
    expect(more).toBeGreaterThanOrEqual(0)
    expect(rows.length).toBeLessThan(250_000)
    const tooLong = {
      method: 'POST',
      url: '/api/orders/preview',
      payload: { text: 'x'.repeat(50 * 1024 * 1024) },
    } as const
    expect(await ask(app, tooLong)).toMatchObject({ status: 413, body: { code: 'too-large' } })
  })

  it('are not stored under a token that nobody was given', async () => {
    const app = await demoApp()
    for (const token of ['', 'constructor', '../x', 'x'.repeat(1_000)]) {
      const answer = await ask(app, { method: 'POST', url: '/api/orders', payload: { token } })
      expect(answer.status).toBeGreaterThanOrEqual(400)
    }
    expect(await orderCount(app)).toBe(120)
  })
})

describe('a spreadsheet that is dropped', () => {
  it('is read by its first sheet: numbers, dates and texts as they are shown', async () => {
    const app = await demoApp()
    const [first, ...rest] = orderRow(app)
    const cells = [first, ...rest].map((value, i) => {
      const name = HEADER[i]
      if (name === 'length') return { value: 12.300000000000001, type: Number }
      if (name === 'qty' || name === 'line') return { value: Number(value), type: Number }
      if (name === 'due_date')
        return { value: new Date('2031-03-05T00:00:00Z'), type: Date, format: 'yyyy-mm-dd' }
      return { value: value ?? '', type: String }
    })
    const sheet = [HEADER.map((value) => ({ value, type: String })), cells]
    const bytes = await (await writeXlsxFile(sheet as never)).toBuffer()
    const { status, body } = await drop(app, 'orders.xlsx', bytes)
    expect(status).toBe(200)
    expect(body).toMatchObject({ understood: { source: 'xlsx', rows: 1 }, problems: [] })
    const { rows } = body as OrdersPreview
    expect(rows[0]).toMatchObject({ order: 'NEW-1', length: '12.3', qty: '2', due_date: '2031-03-05' })
  })

  it('is refused where it is none, or one that unpacks without end', async () => {
    const app = await demoApp()
    expect(await drop(app, 'x.xlsx', Buffer.from('PK\u0003\u0004 and nothing'))).toMatchObject({
      status: 400,
    })
    expect(await drop(app, 'x.xlsx', zipSync({ 'a.txt': Buffer.from('x') }))).toMatchObject({ status: 400 })
    const bomb = zipSync({ 'xl/worksheets/sheet1.xml': Buffer.alloc(80 * 1024 * 1024) })
    expect(bomb.length).toBeLessThan(1_000_000)
    expect(await drop(app, 'x.xlsx', bomb)).toMatchObject({ status: 413, body: { code: 'too-large' } })
  })

  it('is bounded where a few bytes describe a sheet of a million rows by sixteen thousand columns', async () => {
    const app = await demoApp()
    const { status, body } = await drop(app, 'x.xlsx', hugeSheet())
    expect([400, 413]).toContain(status)
    expect(body).toHaveProperty('todo')
    expect(await ask(app, { url: '/api/works' })).toMatchObject({ status: 200 })
  })

  it('is read as text where it is a CSV file, in each of the encodings that spreadsheets save', async () => {
    const app = await demoApp()
    const text = [HEADER, orderRow(app)].map((r) => r.join(',')).join('\r\n')
    expect(await drop(app, 'orders.csv', Buffer.from(`\ufeff${text}`))).toMatchObject({
      status: 200,
      body: { understood: { source: 'comma' }, problems: [] },
    })
    for (const bytes of [
      Buffer.from(`\ufeff${text}`, 'utf16le'),
      Buffer.from(text.replace('NEW-1', 'NEW-1'), 'latin1'),
    ]) {
      expect(await drop(app, 'orders.txt', bytes)).toMatchObject({ status: 200, body: { problems: [] } })
    }
    const noText = await drop(app, 'orders.csv', Buffer.from([0x00, 0xff, 0xd8, 0x01, 0x0a]))
    expect(noText).toMatchObject({ status: 200, body: { token: '' } })
    expect((noText.body as OrdersPreview).problems).not.toHaveLength(0)
  })
})

/** Two cells in opposite corners of the largest sheet there can be. ECMA-376 part 1, 18.3.1. */
function hugeSheet(): Uint8Array {
  const text = (xml: string) => Buffer.from(`<?xml version="1.0" encoding="UTF-8"?>${xml}`)
  const main = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main'
  const rels = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships'
  const packageRels = 'http://schemas.openxmlformats.org/package/2006/relationships'
  const cell = (at: string) => `<c r="${at}" t="inlineStr"><is><t>order</t></is></c>`
  return zipSync({
    '[Content_Types].xml': text(
      '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>',
    ),
    'xl/workbook.xml': text(
      `<workbook xmlns="${main}" xmlns:r="${rels}"><sheets><sheet name="a" sheetId="1" r:id="rId1"/></sheets></workbook>`,
    ),
    'xl/_rels/workbook.xml.rels': text(
      `<Relationships xmlns="${packageRels}"><Relationship Id="rId1" Type="${rels}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`,
    ),
    'xl/worksheets/sheet1.xml': text(
      `<worksheet xmlns="${main}"><sheetData><row r="1">${cell('A1')}</row><row r="1048576">${cell('XFD1048576')}</row></sheetData></worksheet>`,
    ),
  })
}
