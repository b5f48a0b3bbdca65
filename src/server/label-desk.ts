import { isDeepStrictEqual } from 'node:util'
import { type DeclaredPiece, declaredLabel } from '../dispatch/declared-label.ts'
import { PLAIN_MEDIA } from '../documents/declared-labels.ts'
import type { LedgerEvent } from '../ledger/event.ts'
import type { PieceRow } from '../ledger/state-rows.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Outcome } from '../store/ledger-append.ts'
import type { LabelPrinter } from '../works/more-printers.ts'
import type { OnDuty } from './duty.ts'
import type { FloorDesk } from './floor-desk.ts'
import { KeptThread } from './kept-thread.ts'
import { sendIpp } from './label-ipp.ts'
import { sendSocket } from './label-socket.ts'
import type { LabelOrder } from './label-worker.ts'
import type { LedgerDesk } from './ledger-desk.ts'
import { ALONE, lookOnNews, type Sharing } from './sharing.ts'
import type { CurrentWorks, WorksDesk } from './works-desk.ts'

/** Labels that wait for one printer; what comes beyond is printed again by hand. */
const MAX_WAITING = 500
/** A printer that does not answer is asked again after so long; after the last the label is given up. */
const RETRY_MS = [1_000, 3_000, 10_000, 30_000, 60_000]
const SEND_MS = 10_000
/** Kind of the reason that stands at the label that comes with the cut. */
const WITH_THE_CUT = 'cut'
const SERVER = 'server'
/** Stands for a printer where the PDF was asked for. */
const DESK = 'desk'

interface Job {
  serial: string
  reason: string
  /** Who asked for it. */
  actor: string
  /** Seq of the cut that it comes with; null where a person asked for it. */
  seq: number | null
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
 * failing; booking never waits for it. What was printed is booked, with the version of the label. Of several servers the one
 * on duty prints what comes with a cut; what a person asks for is printed by the server that was asked.
 */
export class LabelDesk implements OnDuty {
  readonly #works: WorksDesk
  readonly #floor: FloorDesk
  readonly #ledger: LedgerDesk
  readonly #sharing: Sharing
  readonly #thread = new KeptThread<LabelOrder, Uint8Array>('label-worker', { maxHeapMb: 192, maxMs: 30_000 })
  readonly #queues = new Map<string, Queue>()
  readonly #listeners = new Set<() => void>()
  readonly #leave: () => void
  #closed = false
  #key = 0
  /** What the server on duty says of its printers, by name. */
  #elsewhere: Record<string, string> = {}

  constructor(works: WorksDesk, floor: FloorDesk, ledger: LedgerDesk, sharing: Sharing = ALONE) {
    this.#works = works
    this.#floor = floor
    this.#ledger = ledger
    this.#sharing = sharing
    this.#leave = ledger.listen((events) => {
      if (sharing.onDuty) this.#heard(events, () => true)
    })
    lookOnNews(sharing, 'printers', () => this.#readShared())
  }

  /** The printer of a line or bench and how it is doing, in words; null where none is recorded or it is switched off. */
  printerOf(current: CurrentWorks, line: string): string | null {
    const printer = printerAt(current, line)
    if (!printer) return null
    const queue = this.#queues.get(printer.printer)
    const told = this.#sharing.onDuty ? undefined : this.#elsewhere[printer.printer]
    if (told !== undefined && (!queue || isIdle(queue))) return told
    return queue ? stateOf(printer.printer, queue) : printer.printer
  }

  /** Calls the listener when the state of a printer changes, until the answered function is called. */
  listen(listener: () => void): () => void {
    this.#listeners.add(listener)
    return () => this.#listeners.delete(listener)
  }

  /** Prints a label again for `actor`; answers the printer. Throws 'unknown-id' for the serial, 'not-found' where its line has none. */
  async reprint(serial: string, reason: string, actor: string): Promise<string> {
    const { current, piece } = await this.#piece(serial)
    const printer = printerAt(current, piece.line)
    if (!printer) throw new LastmetreError('not-found', `No printer is switched on for ${piece.line}.`)
    if (!this.#enqueue(printer, { serial, reason, actor, seq: null }))
      throw new LastmetreError('too-many', `${MAX_WAITING} labels wait for ${printer.printer}.`)
    return printer.printer
  }

  /** The label of a piece as a PDF, as the next one would be printed. Throws 'unknown-id'. */
  async pdf(serial: string): Promise<Uint8Array> {
    return this.#drawn(serial, PLAIN_MEDIA)
  }

  /** A new label of a piece for whoever prints it at a desk: books it and answers the PDF. Throws what booking refuses. */
  async sheet(serial: string, reason: string, actor: string): Promise<Uint8Array> {
    const outcome = await this.#book({ serial, reason, actor }, DESK)
    if (!outcome || 'refused' in outcome)
      throw new LastmetreError('command-refused', outcome?.refused.message ?? 'Nothing was booked.')
    const { body } = outcome.event
    return this.#drawn(serial, PLAIN_MEDIA, body.kind === 'label-printed' ? body.version : undefined)
  }

  async close(): Promise<void> {
    this.#closed = true
    this.#leave()
    for (const { timer } of this.#queues.values()) clearTimeout(timer)
    this.#listeners.clear()
    await this.#thread.close()
  }

  get openSeq(): number | null {
    const seqs = [...this.#queues.values()].flatMap(({ jobs }) => jobs.flatMap(({ seq }) => seq ?? []))
    return seqs.length === 0 ? null : Math.min(...seqs)
  }

  async takeOver(events: readonly LedgerEvent[]): Promise<void> {
    const { state } = await this.#floor.now()
    // what has left the hall has gone without
    this.#heard(events, (serial) => state.pieces.get(serial)?.labelVersion === 0)
  }

  /** The label that is being printed is finished. */
  handOver(): void {
    for (const queue of this.#queues.values()) {
      const [first] = queue.jobs
      queue.jobs = queue.jobs.filter((job) => job.seq === null || (job === first && queue.running))
      queue.lost = []
      if (queue.jobs.length === 0) Object.assign(queue, { tries: 0, failure: null })
    }
  }

  #heard(events: readonly LedgerEvent[], wanted: (serial: string) => boolean): void {
    for (const { seq, body } of events) {
      if (body.kind !== 'pieces-cut') continue
      const printer = printerAt(this.#works.current(), body.line)
      if (!printer) continue
      for (const { serial } of body.pieces.filter((piece) => wanted(piece.serial)))
        if (!this.#enqueue(printer, { serial, reason: WITH_THE_CUT, actor: SERVER, seq }))
          this.#queues.get(printer.printer)?.lost.push(serial)
    }
  }

  #enqueue(printer: LabelPrinter, job: Job): boolean {
    const queue = this.#queues.get(printer.printer) ?? newQueue()
    this.#queues.set(printer.printer, queue)
    if (job.seq !== null && queue.jobs.some(({ serial, seq }) => serial === job.serial && seq !== null))
      return true
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
        this.#tell()
      }
    }
    queue.running = false
  }

  #tell(): void {
    if (this.#sharing.shared && this.#sharing.onDuty) {
      const states = [...this.#queues].map(([name, queue]) => [name, stateOf(name, queue)] as const)
      this.#sharing.publish('printers', Object.fromEntries(states))
    }
    for (const listener of this.#listeners) listener()
  }

  async #readShared(): Promise<void> {
    if (this.#sharing.onDuty) return
    const told = (await this.#sharing.newest<Record<string, string>>('printers')) ?? {}
    if (isDeepStrictEqual(told, this.#elsewhere)) return
    this.#elsewhere = told
    for (const listener of this.#listeners) listener()
  }

  async #print(printer: LabelPrinter, job: Job): Promise<void> {
    const { address, mediaMm, resolutionDpi } = printer
    const { serial } = job
    const pdf = await this.#drawn(serial, { ...mediaMm, dpi: resolutionDpi })
    if (address.protocol === 'ipp') await sendIpp(address, `label ${serial}`, pdf, SEND_MS)
    else await sendSocket(address, pdf, SEND_MS)
    await this.#book(job, printer.printer)
  }

  async #book({ serial, reason, actor }: Omit<Job, 'seq'>, printer: string): Promise<Outcome | undefined> {
    const at = new Date().toISOString()
    const key =
      reason === WITH_THE_CUT ? `label.${serial}` : `label.${serial}.${Date.parse(at)}.${++this.#key}`
    const body = { kind: 'print-label' as const, serial, printer, reason }
    const command = { key, at, station: SERVER, planId: null, corrects: null, body }
    const [outcome] = await this.#ledger.book([command], actor)
    return outcome
  }

  /** `version`: the next one without. */
  async #drawn(serial: string, media: LabelOrder['media'], version?: number): Promise<Uint8Array> {
    const { current, piece } = await this.#piece(serial)
    const label = declaredLabel(current.works, declaredPiece(piece), version ?? piece.labelVersion + 1)
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

function isIdle({ jobs, failure, lost }: Queue): boolean {
  return jobs.length === 0 && failure === null && lost.length === 0
}

/** How a printer is doing, in words. */
function stateOf(printer: string, { jobs, failure, lost }: Queue): string {
  const waits = jobs.length > 0 ? `, ${jobs.length} wait` : ''
  const gone = lost.length > 0 ? `, not printed: ${lost.join(', ')}` : ''
  return failure === null ? `${printer}${gone}` : `${printer}: ${failure}${waits}${gone}`
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
