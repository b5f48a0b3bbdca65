import type { LedgerEvent } from '../ledger/event.ts'
import type { Store } from '../store/dialect.ts'
import { doneSeq, keepDoneSeq } from '../store/duty.ts'
import { eventsAfter, ledgerHead } from '../store/ledger-state.ts'
import type { LedgerDesk } from './ledger-desk.ts'
import type { Sharing } from './sharing.ts'

/** How often it is noted how far all is done. What was done since then is found to be done. */
const NOTE_EVERY_MS = 1_000

/** Does something once for each event, on one server of all. */
export interface OnDuty {
  /** Takes over what was booked while another server, or none, was on duty; some of it may be done. */
  takeOver(events: readonly LedgerEvent[]): Promise<void>
  /** Leaves what is not begun to the next one. */
  handOver(): void
  /** Seq of the earliest event that is not done with; null where all that was told is. */
  readonly openSeq: number | null
}

/**
 * Sees to it that each event is repaired for and its labels are printed once, whichever server booked it and whichever dies.
 * How far that is done stands in the database; whoever comes on duty, or starts again, goes on from there.
 */
export class Duty {
  readonly #db: Store
  readonly #ledger: LedgerDesk
  readonly #sharing: Sharing
  readonly #desks: readonly OnDuty[]
  #timer: NodeJS.Timeout | undefined
  #turn: Promise<void> = Promise.resolve()
  /** Seq that takes over begin from; null while not on duty. */
  #noted: number | null = null

  constructor(db: Store, ledger: LedgerDesk, sharing: Sharing, desks: readonly OnDuty[]) {
    this.#db = db
    this.#ledger = ledger
    this.#sharing = sharing
    this.#desks = desks
  }

  /** Once the works is open. */
  begin(): void {
    this.#sharing.hear({ duty: (on) => this.#turned(on) })
    this.#turned(this.#sharing.onDuty)
  }

  /** Notes how far all is done. */
  async close(): Promise<void> {
    clearInterval(this.#timer)
    await this.#turn
    await this.#note()
  }

  #turned(on: boolean): void {
    clearInterval(this.#timer)
    if (!on) {
      this.#noted = null
      for (const desk of this.#desks) desk.handOver()
      return
    }
    // what comes after this one is told by the ledger
    const toSeq = this.#ledger.toldSeq
    this.#timer = setInterval(() => void this.#note(), NOTE_EVERY_MS).unref()
    this.#turn = this.#turn.then(() => this.#takeOver(toSeq)).catch(() => undefined)
  }

  async #takeOver(toSeq: number): Promise<void> {
    let seq = await this.#doneSeq()
    while (seq < toSeq && this.#sharing.onDuty) {
      const events: LedgerEvent[] = (await eventsAfter(this.#db, seq)).filter((event) => event.seq <= toSeq)
      const last = events.at(-1)
      if (last === undefined) break
      for (const desk of this.#desks) await desk.takeOver(events)
      seq = last.seq
    }
    this.#noted = seq
  }

  /** Before there was a duty nothing is left over. */
  async #doneSeq(): Promise<number> {
    const done = await doneSeq(this.#db)
    if (done !== null) return done
    const { seq } = await ledgerHead(this.#db)
    await keepDoneSeq(this.#db, seq)
    return seq
  }

  async #note(): Promise<void> {
    if (this.#noted === null || !this.#sharing.onDuty) return
    const open = this.#desks.flatMap((desk) => desk.openSeq ?? [])
    const seq = Math.min(this.#ledger.toldSeq, ...open.map((first) => first - 1))
    if (seq <= this.#noted) return
    this.#noted = seq
    // what is not noted is looked at again, and found to be done
    await keepDoneSeq(this.#db, seq).catch(() => undefined)
  }
}
