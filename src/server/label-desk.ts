import { isDeepStrictEqual } from 'node:util'
import { type DeclaredPiece, declaredLabel } from '../dispatch/declared-label.ts'
import { PLAIN_MEDIA } from '../documents/declared-labels.ts'
import type { Command } from '../ledger/command.ts'
import type { LedgerEvent } from '../ledger/event.ts'
import type { PieceRow } from '../ledger/state-rows.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import type { LabelSendingRow } from '../store/tables.ts'
import type { LabelDoubt } from '../works/floor-api.ts'
import type { LabelPrinter } from '../works/more-printers.ts'
import type { OnDuty } from './duty.ts'
import type { FloorDesk } from './floor-desk.ts'
import { KeptThread } from './kept-thread.ts'
import { LabelSender } from './label-sender.ts'
import type { LabelOrder } from './label-worker.ts'
import type { LedgerDesk } from './ledger-desk.ts'
import { ALONE, lookOnNews, type Sharing } from './sharing.ts'
import type { CurrentWorks, WorksDesk } from './works-desk.ts'

/** Labels that wait for one printer; what comes beyond is printed again by hand. */
const MAX_WAITING = 500
/** A printer that does not answer is asked again after so long; after the last the label is given up. */
const RETRY_MS = [1_000, 3_000, 10_000, 30_000, 60_000]
/** Kind of the reason that stands at the label that comes with the cut. */
const WITH_THE_CUT = 'cut'
const SERVER = 'server'
/** Stands for a printer where the PDF was asked for. */
const DESK = 'desk'
/** Stands behind the reason of a label that a person found at the printer. */
const FOUND = ', found at the printer'
const NOT_FOUND = 'not found at the printer'

interface Job {
  /** Key that it is booked under. */
  key: string
  serial: string
  reason: string
  /** Who asked for it. */
  actor: string
  /** Seq of the cut that it comes with; null where a person asked for it. */
  seq: number | null
  /** What is to be booked of it, once it is sent. */
  sent: Command | null
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
  /** Settles when nothing is being printed. */
  work: Promise<void>
}

/**
 * Prints the label of each piece that is cut on the printer of its line. A printer that fails is asked again and shown as
 * failing; booking never waits for it. What was printed is booked, with the version of the label. One that may have been printed
 * is not sent again unless a person says that it is not there. Of several servers the one on duty prints what comes with a
 * cut; what a person asks for is printed by the server that was asked.
 */
export class LabelDesk implements OnDuty {
  readonly #works: WorksDesk
  readonly #floor: FloorDesk
  readonly #ledger: LedgerDesk
  readonly #sharing: Sharing
  readonly #sender: LabelSender
  readonly #thread = new KeptThread<LabelOrder, Uint8Array>('label-worker', { maxHeapMb: 192, maxMs: 30_000 })
  readonly #queues = new Map<string, Queue>()
  readonly #listeners = new Set<() => void>()
  readonly #leave: () => void
  #closed = false
  #key = 0
  /** What the server on duty says of its printers, by name. */
  #elsewhere: Record<string, string> = {}

  constructor(
    db: Store,
    works: WorksDesk,
    { floor, ledger, sharing = ALONE }: { floor: FloorDesk; ledger: LedgerDesk; sharing?: Sharing },
  ) {
    this.#works = works
    this.#floor = floor
    this.#ledger = ledger
    this.#sharing = sharing
    this.#sender = new LabelSender(db, sharing)
    this.#leave = ledger.listen((events) => {
      if (sharing.onDuty) this.#heard(events, () => true)
    })
    lookOnNews(sharing, 'printers', () => this.#readShared())
  }

  /** Reads which labels may have been printed before this server started. */
  async begin(): Promise<void> {
    await this.#readDoubts()
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

  /** Labels that may have been printed at a line or bench, or anywhere: only a look at the printer tells. Oldest first. */
  doubts(line?: string): LabelDoubt[] {
    return this.#sender.doubts.flatMap((row) => (line === undefined || row.line === line ? [shown(row)] : []))
  }

  /**
   * A person has looked at the printer: the label is there, and is booked as printed, or it is not, and is printed again. Answers
   * the printer. Throws 'not-found' where nobody asks any more, or nothing prints there now.
   */
  async answerDoubt(key: string, isThere: boolean, actor: string): Promise<string> {
    const row = this.#sender.doubts.find((doubt) => doubt.key === key)
    if (!row) throw new LastmetreError('not-found', 'This question has been answered.')
    const { serial, printer, reason, line } = row
    if (isThere) {
      // a piece that has left the hall takes no label any more, and the question goes with it
      await this.#ledger.book([commandOf(key, { serial, printer, reason: `${reason}${FOUND}` })], actor)
      await this.#sender.settle(key)
    } else {
      const now = printerAt(this.#works.current(), line)
      if (!now) throw new LastmetreError('not-found', `No printer is switched on for ${line}.`)
      if (!(await this.#sender.settle(key)))
        throw new LastmetreError('not-found', 'This question has been answered.')
      this.#enqueue(now, this.#asked(serial, NOT_FOUND, actor))
    }
    this.#tell()
    return printer
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
    if (!this.#enqueue(printer, this.#asked(serial, reason, actor)))
      throw new LastmetreError('too-many', `${MAX_WAITING} labels wait for ${printer.printer}.`)
    return printer.printer
  }

  /** The label of a piece as a PDF, as the next one would be printed. Throws 'unknown-id'. */
  async pdf(serial: string): Promise<Uint8Array> {
    return this.#drawn(serial, PLAIN_MEDIA)
  }

  /** A new label of a piece for whoever prints it at a desk: books it and answers the PDF. Throws what booking refuses. */
  async sheet(serial: string, reason: string, actor: string): Promise<Uint8Array> {
    const { key } = this.#asked(serial, reason, actor)
    const [outcome] = await this.#ledger.book([commandOf(key, { serial, reason, printer: DESK })], actor)
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
    // what is being sent is noted, else a person would be asked about it
    await Promise.all([...this.#queues.values()].map(({ work }) => work))
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
      queue.jobs = queue.jobs.filter(
        (job) => job.seq === null || job.sent !== null || (job === first && queue.running),
      )
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
        if (!this.#enqueue(printer, withTheCut(serial, seq)))
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
    if (!queue.running && queue.timer === undefined) this.#begin(printer, queue)
    return true
  }

  #begin(printer: LabelPrinter, queue: Queue): void {
    queue.timer = undefined
    queue.running = true
    queue.work = this.#work(printer, queue)
  }

  async #work(printer: LabelPrinter, queue: Queue): Promise<void> {
    for (let job = queue.jobs[0]; job && !this.#closed; job = queue.jobs[0]) {
      const { serial } = job
      try {
        const failure = await this.#print(printer, job)
        queue.jobs.shift()
        Object.assign(queue, { tries: 0, failure, lost: queue.lost.filter((s) => s !== serial) })
      } catch (error) {
        const waitMs = RETRY_MS[queue.tries++]
        queue.failure = error instanceof Error ? error.message : String(error)
        if (waitMs === undefined || this.#closed) await this.#giveUp(queue, job)
        else {
          queue.timer = setTimeout(() => this.#begin(printer, queue), waitMs)
          break
        }
      } finally {
        this.#tell()
      }
    }
    queue.running = false
  }

  async #giveUp(queue: Queue, job: Job): Promise<void> {
    queue.jobs.shift()
    queue.tries = 0
    if (job.sent !== null) {
      await this.#sender.notNoted(job.key).catch(() => undefined)
      await this.#readDoubts()
    } else if (!this.#closed) {
      queue.lost.push(job.serial)
      queue.lost.splice(0, queue.lost.length - MAX_WAITING)
    }
  }

  #tell(): void {
    if (this.#sharing.shared && this.#sharing.onDuty) {
      const states = [...this.#queues].map(([name, queue]) => [name, stateOf(name, queue)] as const)
      this.#sharing.publish('printers', Object.fromEntries(states))
    }
    for (const listener of this.#listeners) listener()
  }

  async #readShared(): Promise<void> {
    await this.#readDoubts()
    if (this.#sharing.onDuty) return
    const told = (await this.#sharing.newest<Record<string, string>>('printers')) ?? {}
    if (isDeepStrictEqual(told, this.#elsewhere)) return
    this.#elsewhere = told
    for (const listener of this.#listeners) listener()
  }

  /** What cannot be read now is read at the next look. */
  async #readDoubts(): Promise<void> {
    if (!(await this.#sender.readDoubts().catch(() => false))) return
    for (const listener of this.#listeners) listener()
  }

  /** Answers what is to be said of the printer; rejects where the label is to be tried again. */
  async #print(printer: LabelPrinter, job: Job): Promise<string | null> {
    const { key, serial, reason, actor, seq } = job
    if (job.sent === null) {
      const { mediaMm, resolutionDpi } = printer
      const pdf = await this.#drawn(serial, { ...mediaMm, dpi: resolutionDpi })
      const end = await this.#sender.send({ key, serial, reason, actor }, printer, pdf, seq !== null)
      if (end !== 'sent') {
        await this.#readDoubts()
        return end === 'taken' ? 'it took a label and did not say that it printed it' : null
      }
      job.sent = commandOf(key, { serial, reason, printer: printer.printer })
    }
    // tried again it is the same command, and sent no more
    await this.#ledger.book([job.sent], actor)
    await this.#sender.noted(key)
    return null
  }

  #asked(serial: string, reason: string, actor: string): Job {
    const key = `label.${serial}.${Date.now()}.${++this.#key}`
    return { key, serial, reason, actor, seq: null, sent: null }
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
  const idle = { running: false, timer: undefined, work: Promise.resolve() }
  return { jobs: [], tries: 0, failure: null, lost: [], ...idle }
}

function withTheCut(serial: string, seq: number): Job {
  return { key: `label.${serial}`, serial, reason: WITH_THE_CUT, actor: SERVER, seq, sent: null }
}

function commandOf(key: string, label: { serial: string; printer: string; reason: string }): Command {
  const at = new Date().toISOString()
  return { key, at, station: SERVER, planId: null, corrects: null, body: { kind: 'print-label', ...label } }
}

function shown({ key, serial, printer, at_ms, reason }: LabelSendingRow): LabelDoubt {
  return { key, serial, printer, at: new Date(at_ms).toISOString(), again: reason !== WITH_THE_CUT }
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
