import { type AddressInfo, createServer } from 'node:net'
import { onTestFinished } from 'vitest'
import type { LedgerEvent } from '../../src/ledger/event.ts'
import type { Store } from '../../src/store/dialect.ts'
import { eventsAfter } from '../../src/store/ledger-state.ts'
import type { Hall } from '../floor/hall.ts'
import { demoWith } from '../support/demo.ts'

/** Every event of a kind. */
export async function eventsOf<K extends LedgerEvent['body']['kind']>(
  db: Store,
  kind: K,
): Promise<LedgerEvent[]> {
  const events: LedgerEvent[] = []
  for (let more = true; more; ) {
    const page = await eventsAfter(db, events.at(-1)?.seq ?? 0)
    events.push(...page)
    more = page.length > 0
  }
  return events.filter((event) => event.body.kind === kind)
}

export interface TestPrinter {
  port: number
  /** What was sent, each job as it came. */
  got: Buffer[]
  turnOn(): Promise<void>
  turnOff(): Promise<void>
}

/** A printer at a port of loopback that refuses every connection until it is switched on. */
export async function printer(): Promise<TestPrinter> {
  const got: Buffer[] = []
  const server = createServer((socket) => {
    const chunks: Buffer[] = []
    socket.on('error', () => socket.destroy())
    socket.on('data', (chunk) => chunks.push(chunk))
    socket.on('end', () => got.push(Buffer.concat(chunks)))
  })
  const listen = (port: number) =>
    new Promise<void>((resolve, reject) => {
      server.once('error', reject)
      server.listen(port, '127.0.0.1', () => resolve())
    })
  const turnOff = () => new Promise<void>((resolve) => server.close(() => resolve()))
  await listen(0)
  const { port } = server.address() as AddressInfo
  await turnOff()
  onTestFinished(() => void server.close())
  return { port, got, turnOn: () => listen(port), turnOff }
}

/** The demo with this printer at RW-1. */
export function withPrinter(port: number): Promise<string> {
  const rows = `printer,line,on,address,resolution_dpi,media_mm\nLP-9,RW-1,yes,socket://127.0.0.1:${port},203,100x60\n`
  return demoWith({ 'more/printers.csv': rows })
}

/** Cuts the next piece on RW-1; answers its serial. */
export async function cutOne(hall: Hall): Promise<string> {
  const { nextDrum, mounted } = await hall.view('RW-1')
  if (!mounted)
    await hall.book({ kind: 'mount-drum', drum: nextDrum!.drum, line: 'RW-1', mounting: nextDrum!.mounting })
  for (;;) {
    const shown = (await hall.view('RW-1')).cuts[0]!.asShown
    // one of a run of equal ones
    const one = shown.kind === 'cut-pieces' ? { ...shown, pieces: shown.pieces.slice(0, 1) } : shown
    const { body } = await hall.book(one)
    if (body.kind === 'pieces-cut') return body.pieces[0]!.serial
  }
}
