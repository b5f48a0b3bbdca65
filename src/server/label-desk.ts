import { type DeclaredPiece, declaredLabel } from '../dispatch/declared-label.ts'
import { PLAIN_MEDIA } from '../documents/declared-labels.ts'
import type { LedgerEvent } from '../ledger/event.ts'
import type { PieceRow } from '../ledger/state-rows.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { LabelPrinter } from '../works/more-printers.ts'
import type { FloorDesk } from './floor-desk.ts'
import { KeptThread } from './kept-thread.ts'
import { sendIpp } from './label-ipp.ts'
import { sendSocket } from './label-socket.ts'
import type { LabelOrder } from './label-worker.ts'
import type { LedgerDesk } from './ledger-desk.ts'
import type { CurrentWorks, WorksDesk } from './works-desk.ts'

/** Labels that wait for one printer; what comes beyond is printed again by hand. */
const MAX_WAITING = 500
/** A printer that does not answer is asked again after so long; after the last the label is given up. */
const RETRY_MS = [1_000, 3_000, 10_000, 30_000, 60_000]
const SEND_MS = 10_000
/** Kind of the reason that stands at the label that comes with the cut. */
const WITH_THE_CUT = 'cut'

interface Job {
  serial: string
  reason: string
}

interface Queue {
  jobs: Job[]
  /** Of the job in front. */
  tries: number
  failure: string | null
  /** Labels that were given up since the printer last printed. */
  lost: string[]
  running: boolean
  timer: NodeJS.Timeout | undefined
}

/**
 * Prints the label of each piece that is cut on the printer of its line. A printer that fails is asked again and shown as
 * failing; booking never waits for it. What was printed is booked, with the version of the label.
 */
export class LabelDesk {
  readonly #works: WorksDesk
  readonly #floor: FloorDesk
  readonly #ledger: LedgerDesk
  readonly #thread = new KeptThread<LabelOrder, Uint8Array>('label-worker', { maxHeapMb: 192, maxMs: 30_000 })
  readonly #queues = new Map<string, Queue>()
  readonly #listeners = new Set<() => void>()
  readonly #leave: () => void
  #closed = false
  #key = 0

  constructor(works: WorksDesk, floor: FloorDesk, ledger: LedgerDesk) {
    this.#works = works
    this.#floor = floor
    this.#ledger = ledger
    this.#leave = ledger.listen((events) => this.#heard(events))
  }

  /** The printer of a line or bench and how it is doing, in words; null where none is recorded or it is switched off. */
  printerOf(current: CurrentWorks, line: string): string | null {
    const printer = printerAt(current, line)
    if (!printer) return null
    const queue = this.#queues.get(printer.printer)
    if (!queue) return printer.printer
    const waits = queue.jobs.length > 0 ? `, ${queue.jobs.length} wait` : ''
    const lost = queue.lost.length > 0 ? `, not printed: ${queue.lost.join(', ')}` : ''
    if (queue.failure !== null) return `${printer.printer}: ${queue.failure}${waits}${lost}`
    return `${printer.printer}${lost}`
  }

  /** Calls the listener when the state of a printer changes, until the answered function is called. */
  listen(listener: () => void): () => void {
    this.#listeners.add(listener)
    return () => this.#listeners.delete(listener)
  }

  /** Prints a label again; answers the printer. Throws 'unknown-id' for the serial, 'not-found' where its line has none. */
  async reprint(serial: string, reason: string): Promise<string> {
    const { current, piece } = await this.#piece(serial)
    const printer = printerAt(current, piece.line)
    if (!printer) throw new LastmetreError('not-found', `No printer is switched on for ${piece.line}.`)
    if (!this.#enqueue(printer, { serial, reason }))
      throw new LastmetreError('too-many', `${MAX_WAITING} labels wait for ${printer.printer}.`)
    return printer.printer
  }

  /** The label of a piece as a PDF, as the next one would be printed. Throws 'unknown-id'. */
  async pdf(serial: string): Promise<Uint8Array> {
    return this.#drawn(serial, PLAIN_MEDIA)
  }

  async close(): Promise<void> {
    this.#closed = true
    this.#leave()
    for (const { timer } of this.#queues.values()) clearTimeout(timer)
    this.#listeners.clear()
    await this.#thread.close()
  }

  #heard(events: readonly LedgerEvent[]): void {
    for (const { body } of events) {
      if (body.kind !== 'pieces-cut') continue
      const printer = printerAt(this.#works.current(), body.line)
      if (!printer) continue
      for (const { serial } of body.pieces)
        if (!this.#enqueue(printer, { serial, reason: WITH_THE_CUT }))
          this.#queues.get(printer.printer)?.lost.push(serial)
    }
  }

  #enqueue(printer: LabelPrinter, job: Job): boolean {
    const queue = this.#queues.get(printer.printer) ?? newQueue()
    this.#queues.set(printer.printer, queue)
    if (queue.jobs.length >= MAX_WAITING) return false
    queue.jobs.push(job)
    if (!queue.running && queue.timer === undefined) void this.#work(printer, queue)
    return true
  }

  async #work(printer: LabelPrinter, queue: Queue): Promise<void> {
    queue.timer = undefined
    queue.running = true
    for (let job = queue.jobs[0]; job && !this.#closed; job = queue.jobs[0]) {
      try {
        await this.#print(printer, job)
        queue.jobs.shift()
        Object.assign(queue, { tries: 0, failure: null, lost: queue.lost.filter((s) => s !== job?.serial) })
      } catch (error) {
        if (this.#closed) break
        const waitMs = RETRY_MS[queue.tries++]
        queue.failure = error instanceof Error ? error.message : String(error)
        if (waitMs === undefined) {
          queue.jobs.shift()
          queue.lost.push(job.serial)
          queue.lost.splice(0, queue.lost.length - MAX_WAITING)
          queue.tries = 0
        } else {
          queue.timer = setTimeout(() => void this.#work(printer, queue), waitMs)
          break
        }
      } finally {
        for (const listener of this.#listeners) listener()
      }
    }
    queue.running = false
  }

  async #print(printer: LabelPrinter, { serial, reason }: Job): Promise<void> {
    const { address, mediaMm, resolutionDpi } = printer
    const pdf = await this.#drawn(serial, { ...mediaMm, dpi: resolutionDpi })
    if (address.protocol === 'ipp') await sendIpp(address, `label ${serial}`, pdf, SEND_MS)
    else await sendSocket(address, pdf, SEND_MS)
    const at = new Date().toISOString()
    const key =
      reason === WITH_THE_CUT ? `label.${serial}` : `label.${serial}.${Date.parse(at)}.${++this.#key}`
    await this.#ledger.book(
      [
        {
          ...{ key, at, station: 'server', planId: null, corrects: null },
          body: { kind: 'print-label', serial, printer: printer.printer, reason },
        },
      ],
      'server',
    )
  }

  async #drawn(serial: string, media: LabelOrder['media']): Promise<Uint8Array> {
    const { current, piece } = await this.#piece(serial)
    const label = declaredLabel(current.works, declaredPiece(piece), piece.labelVersion + 1)
    return this.#thread.ask({ labels: [label], media })
  }

  async #piece(serial: string): Promise<{ current: CurrentWorks; piece: PieceRow }> {
    const { current, state } = await this.#floor.now()
    const piece = state.pieces.get(serial)
    if (!piece) throw new LastmetreError('unknown-id', `No piece ${serial} is in the hall.`)
    return { current, piece }
  }
}

function newQueue(): Queue {
  return { jobs: [], tries: 0, failure: null, lost: [], running: false, timer: undefined }
}

function printerAt({ more }: CurrentWorks, line: string): LabelPrinter | null {
  return more.printers.printers?.find((p) => p.line === line && p.on) ?? null
}

function declaredPiece(row: PieceRow): DeclaredPiece {
  const { serial, cable, lot, order, orderLine, piece, part, count, putup } = row
  const { declaredUm, declaredText, measuredUm, markOuter, markInner } = row
  return {
    ...{ serial, cable, lot, order, orderLine, piece, part, count, putup },
    ...{ declaredUm, declaredText, measuredUm, markOuter, markInner, isLead: row.parent !== null },
  }
}
