import type { LedgerEvent } from '../ledger/event.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { eventsAfter, ledgerHead, MAX_EVENTS_READ } from '../store/ledger-state.ts'

/** Whoever is told of events inside this server: screens' streams, the repair, labels, signals. */
const MAX_LISTENERS = 256

export type EventListener = (events: readonly LedgerEvent[]) => void

/** Tells of every event of the ledger once and in order, whoever booked it: what another server booked is read from the database. */
export class LedgerNews {
  readonly #db: Store
  readonly #listeners = new Set<EventListener>()
  /** Seq of the last event that was told; null: it is not known yet where the ledger stood. */
  #told: number | null = null
  #reading: Promise<void> | null = null
  #again = false

  constructor(db: Store) {
    this.#db = db
  }

  /** Seq up to which was told, or of the head when this began. */
  get told(): number {
    return this.#told ?? 0
  }

  /** From here on nothing is missed. Before, only what is booked here is told. */
  async begin(): Promise<void> {
    this.#told ??= (await ledgerHead(this.#db)).seq
  }

  /** Calls the listener with events that are on disk, until the answered function is called. */
  listen(listener: EventListener): () => void {
    if (this.#listeners.size >= MAX_LISTENERS) {
      throw new LastmetreError('too-many', `${MAX_LISTENERS} listen already.`)
    }
    this.#listeners.add(listener)
    return () => this.#listeners.delete(listener)
  }

  close(): void {
    this.#listeners.clear()
  }

  /** Tells of what was booked in one transaction here; resolves when all listeners know, with what others booked before it. */
  async booked(events: readonly LedgerEvent[]): Promise<void> {
    const [first] = events
    if (first === undefined) return
    if (this.#told === null || first.seq === this.#told + 1) this.#tell(events)
    else await this.catchUp()
  }

  /** Reads what is not told yet and tells it. What cannot be read now is told the next time. */
  async catchUp(): Promise<void> {
    if (this.#told === null) return
    this.#again = true
    this.#reading ??= this.#read()
    await this.#reading
  }

  async #read(): Promise<void> {
    try {
      while (this.#again) {
        this.#again = false
        const events = await eventsAfter(this.#db, this.told)
        if (events.length === MAX_EVENTS_READ) this.#again = true
        this.#tell(events)
      }
    } catch {
      this.#again = false
    } finally {
      this.#reading = null
    }
  }

  #tell(events: readonly LedgerEvent[]): void {
    const told = this.#told ?? 0
    const fresh = events.filter(({ seq }) => seq > told)
    const last = fresh.at(-1)
    if (last === undefined) return
    this.#told = last.seq
    for (const listener of this.#listeners) listener(fresh)
  }
}
