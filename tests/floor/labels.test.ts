import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createServer as createHttp } from 'node:http'
import { type AddressInfo, createServer as createTcp } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { printJobRequest } from '../../src/server/label-ipp.ts'
import type { EventsAnswer } from '../../src/works/floor-api.ts'
import { decode, rasterOfPgm } from '../papers/decode.ts'
import { ask } from '../server/harness.ts'
import { demoWith } from '../support/demo.ts'
import { until } from '../support/until.ts'
import { Hall } from './hall.ts'

const HEADER = 'printer,line,on,address,resolution_dpi,media_mm'

/** Collects what is sent to a port. */
async function socketPrinter(): Promise<{ port: number; got: Buffer[] }> {
  const got: Buffer[] = []
  const server = createTcp((socket) => {
    const chunks: Buffer[] = []
    socket.on('data', (chunk) => chunks.push(chunk))
    socket.on('end', () => got.push(Buffer.concat(chunks)))
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  onTestFinished(() => void server.close())
  return { port: (server.address() as AddressInfo).port, got }
}

/** Answers Print-Job with these status codes, one after the other, the last one for ever. */
async function ippPrinter(
  statuses: number[],
): Promise<{ port: number; got: { url: string; body: Buffer }[] }> {
  const got: { url: string; body: Buffer }[] = []
  const server = createHttp((request, response) => {
    const chunks: Buffer[] = []
    request.on('data', (chunk: Buffer) => chunks.push(chunk))
    request.on('end', () => {
      got.push({ url: request.url ?? '', body: Buffer.concat(chunks) })
      const answer = Buffer.alloc(9)
      answer.set([1, 1])
      answer.writeUInt16BE(statuses[Math.min(got.length, statuses.length) - 1]!, 2)
      answer.writeUInt32BE(1, 4)
      answer[8] = 0x03
      response.writeHead(200, { 'content-type': 'application/ipp' }).end(answer)
    })
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  onTestFinished(() => void server.close())
  return { port: (server.address() as AddressInfo).port, got }
}

async function hallWith(row: string): Promise<Hall> {
  const hall = await Hall.open(await demoWith({ 'more/printers.csv': `${HEADER}\n${row}\n` }))
  await hall.release()
  return hall
}

/** Cuts the first piece on RW-1; answers its serial. */
async function cutOne(hall: Hall): Promise<{ serial: string; declaredText: string }> {
  const { nextDrum } = await hall.view('RW-1')
  await hall.book({ kind: 'mount-drum', drum: nextDrum!.drum, line: 'RW-1', mounting: nextDrum!.mounting })
  for (;;) {
    const [cut] = (await hall.view('RW-1')).cuts
    const { body } = await hall.book(cut!.asShown)
    if (body.kind === 'pieces-cut') return body.pieces[0]!
  }
}

async function printed(hall: Hall) {
  const { events } = (await ask(hall.app, { url: '/api/ledger/events' })).body as EventsAnswer
  return events.flatMap((e) => (e.body.kind === 'label-printed' ? [e.body] : []))
}

async function codesOf(pdf: Uint8Array): Promise<string[]> {
  const folder = mkdtempSync(join(tmpdir(), 'label-'))
  onTestFinished(() => rmSync(folder, { recursive: true }))
  writeFileSync(join(folder, 'label.pdf'), pdf)
  execFileSync('pdftoppm', ['-gray', '-r', '300', join(folder, 'label.pdf'), join(folder, 'page')])
  return decode(rasterOfPgm(readFileSync(join(folder, 'page-1.pgm'))))
}

const HAS_PDFTOPPM = spawnSync('pdftoppm', ['-v']).error === undefined

describe('labels of pieces that were cut', () => {
  it('are sent to the socket of the line, with the serial as a code, and booked', async () => {
    const { port, got } = await socketPrinter()
    const hall = await hallWith(`LP-9,RW-1,yes,socket://127.0.0.1:${port},203,100x60`)
    const { serial } = await cutOne(hall)
    await until(
      async () => printed(hall),
      (labels) => labels.length > 0,
    )
    expect(await printed(hall)).toEqual([
      { kind: 'label-printed', serial, version: 1, printer: 'LP-9', reason: 'cut' },
    ])
    expect(got).toHaveLength(1)
    expect(got[0]!.subarray(0, 5).toString()).toBe('%PDF-')
    if (HAS_PDFTOPPM) expect(await codesOf(got[0]!)).toEqual([serial])
    expect((await hall.view('RW-1')).printer).toBe('LP-9')
  })

  it('are sent as Print-Job, and again where the printer refuses at first', async () => {
    // server-error-busy of RFC 8011, B.1.5.8, then successful-ok
    const { port, got } = await ippPrinter([0x0507, 0x0000])
    const hall = await hallWith(`LP-9,RW-1,yes,ipp://127.0.0.1:${port}/ipp/print,300,100x70`)
    await cutOne(hall)
    await until(
      async () => (await hall.view('RW-1')).printer,
      (text) => text?.includes('0x0507') ?? false,
    )
    await until(
      async () => printed(hall),
      (labels) => labels.length > 0,
    )
    expect(got.map((g) => g.url)).toEqual(['/ipp/print', '/ipp/print'])
    const head = printJobRequest(
      { protocol: 'ipp', host: '127.0.0.1', port, path: '/ipp/print' },
      `label ${(await printed(hall))[0]!.serial}`,
      1,
    )
    expect(got[1]!.body.subarray(0, head.length)).toEqual(head)
    expect(got[1]!.body.subarray(head.length, head.length + 5).toString()).toBe('%PDF-')
    expect((await hall.view('RW-1')).printer).toBe('LP-9')
  })

  it('are not sent again where the printer had the whole job and broke off, or answers what is no IPP', async () => {
    let got = 0
    const server = createHttp((request, response) => {
      request.resume()
      request.on('end', () => {
        got++
        if (got === 1) request.socket.destroy()
        else response.writeHead(200).end('well')
      })
    })
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    onTestFinished(() => void server.close())
    const { port } = server.address() as AddressInfo
    const hall = await hallWith(`LP-9,RW-1,yes,ipp://127.0.0.1:${port}/ipp/print,300,100x70`)
    const first = await cutOne(hall)
    const again = { method: 'POST', url: `/api/labels/${first.serial}`, payload: { reason: 'no' } } as const
    const doubts = async () => (await hall.view('RW-1')).doubts ?? []
    await until(doubts, (found) => found.length === 1)
    await ask(hall.app, again)
    await until(doubts, (found) => found.length === 2)
    expect(await doubts()).toMatchObject([
      { serial: first.serial, again: false },
      { serial: first.serial, again: true },
    ])
    expect((await hall.view('RW-1')).printer).toContain('did not say that it printed it')
    expect(await printed(hall)).toEqual([])
    expect(got).toBe(2)
  })

  it('are encoded as RFC 8010 shows it', () => {
    const bytes = printJobRequest(
      { protocol: 'ipp', host: 'printer.example.com', port: 631, path: '/ipp/print/pinetree' },
      'foobar',
      1,
    )
    // head and first attributes of the example in RFC 8010, A.1; its bytes are from memory, not copied out of the RFC
    const example = '01010002 00000001 01 47 0012 617474726962757465732d63686172736574 0005 7574662d38 48'
    expect(bytes.subarray(0, 38).toString('hex')).toBe(example.replaceAll(' ', '').slice(0, 76))
    expect(bytes.includes(Buffer.from([0x42, 0, 8]))).toBe(true)
    expect(bytes.at(-1)).toBe(0x03)
  })

  it('can be printed again, which counts up, and downloaded where no printer is on', async () => {
    const { port, got } = await socketPrinter()
    const hall = await hallWith(`LP-9,RW-1,yes,socket://127.0.0.1:${port},203,100x60`)
    const { serial } = await cutOne(hall)
    await until(
      async () => printed(hall),
      (labels) => labels.length === 1,
    )
    const again = { method: 'POST', url: `/api/labels/${serial}`, payload: { reason: 'smudged' } } as const
    expect(await ask(hall.app, again)).toEqual({ status: 200, body: { printer: 'LP-9' } })
    await until(
      async () => printed(hall),
      (labels) => labels.length === 2,
    )
    expect((await printed(hall))[1]).toMatchObject({ serial, version: 2, reason: 'smudged' })
    expect(got).toHaveLength(2)

    const off = await hallWith('LP-9,RW-1,no,socket://127.0.0.1:9,203,100x60')
    const other = await cutOne(off)
    expect((await off.view('RW-1')).printer).toBeNull()
    expect(await ask(off.app, { ...again, url: `/api/labels/${other.serial}` })).toMatchObject({
      status: 404,
    })
    const pdf = await off.app.http.inject({ url: `/api/labels/${other.serial}` })
    expect(pdf.headers['content-disposition']).toContain(`label-${other.serial}.pdf`)
    if (HAS_PDFTOPPM) expect(await codesOf(pdf.rawPayload)).toEqual([other.serial])
    expect(await ask(off.app, { url: '/api/labels/31-000999-5' })).toMatchObject({ status: 404 })
  })

  it('wait for a printer that does not answer, while booking goes on', async () => {
    const { port } = await socketPrinter()
    const hall = await hallWith(`LP-9,RW-1,yes,socket://127.0.0.1:${port === 1 ? 2 : 1},203,100x60`)
    await cutOne(hall)
    const text = await until(
      async () => (await hall.view('RW-1')).printer,
      (t) => t !== 'LP-9',
    )
    expect(text).toContain('1 wait')
    expect(await printed(hall)).toEqual([])
  })
})
