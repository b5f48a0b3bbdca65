import type { Command, CommandKind } from '../ledger/command.ts'
import type { LedgerContext } from '../ledger/context.ts'
import { openingCommands } from '../ledger/opening.ts'
import { openingPieces } from '../ledger/receive-piece.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { appendCommands, type BookedCommand, type Outcome } from '../store/ledger-append.ts'
import { openLedger } from '../store/ledger-opening.ts'
import { storeFailure } from '../store/store-failure.ts'
import { type EventListener, LedgerNews } from './ledger-news.ts'
import { lookOnNews, type Sharing } from './sharing.ts'
import type { WorksDesk } from './works-desk.ts'

/** Commands that wait at one time; 100 a second come from twenty stations. */
const MAX_WAITING = 5_000
/** Commands that are booked in one transaction. */
const MAX_GROUP = 64

/** Kinds that speak of people only: they neither need nor open a book of stock. */
const OF_PEOPLE: ReadonlySet<CommandKind> = new Set(['change-account', 'sign-in', 'refuse-sign-in'])

interface Waiting {
  booked: BookedCommand[]
  answer: (outcomes: Outcome[]) => void
  fail: (error: unknown) => void
}

/** The one door to the ledger: commands queue, are booked in groups, and what was booked is told to who listens. */
export class LedgerDesk {
  readonly #db: Store
  readonly #works: WorksDesk
  readonly #news: LedgerNews
  #queue: Waiting[] = []
  #waiting = 0
  #running: Promise<void> | null = null
  /** Version of the works whose drums the ledger knows. */
  #openedVersion: number | null = null

  constructor(db: Store, works: WorksDesk) {
    this.#db = db
    this.#works = works
    this.#news = new LedgerNews(db)
  }

  /** Seq of the last event that listeners were told of. */
  get toldSeq(): number {
    return this.#news.told
  }

  /** From here on listeners are told of what other servers and the sign-in desk book as well. */
  async follow(sharing: Sharing): Promise<void> {
    await this.#news.begin()
    lookOnNews(sharing, 'ledger', () => this.#news.catchUp())
  }

  /**
   * Books commands of one actor in order, those of one call in one transaction. Outcomes in the same order; what is answered as an event
   * is on disk. Rejects with 'store-failed' where the database cannot take it (nothing was booked then), with 'no-works'
   * where none is open, with 'ledger-elsewhere' where the ledger belongs to another works, with 'too-many' where too many wait.
   */
  book(commands: readonly Command[], actor: string, sentBy: string | null = null): Promise<Outcome[]> {
    if (commands.length === 0) return Promise.resolve([])
    if (this.#waiting + commands.length > MAX_WAITING) {
      return Promise.reject(new LastmetreError('too-many', `${this.#waiting} records wait already.`))
    }
    this.#waiting += commands.length
    const booked = commands.map((command) => ({ command, actor, sentBy }))
    const answered = new Promise<Outcome[]>((answer, fail) => this.#queue.push({ booked, answer, fail }))
    this.#running ??= this.#run()
    return answered
  }

  /** Calls the listener with events in their order, after they are on disk, until the answered function is called. */
  listen(listener: EventListener): () => void {
    return this.#news.listen(listener)
  }

  /** Waits until what was handed in is booked. */
  async close(): Promise<void> {
    await this.#running
    this.#news.close()
  }

  async #run(): Promise<void> {
    // What comes in the same turn of the event loop goes into the first group.
    await new Promise((resolve) => setImmediate(resolve))
    while (this.#queue.length > 0) await this.#bookGroup(this.#takeGroup())
    this.#running = null
  }

  #takeGroup(): Waiting[] {
    let count = 0
    let calls = 0
    for (const { booked } of this.#queue) {
      if (calls > 0 && count + booked.length > MAX_GROUP) break
      count += booked.length
      calls += 1
    }
    this.#waiting -= count
    return this.#queue.splice(0, calls)
  }

  async #bookGroup(group: Waiting[]): Promise<void> {
    try {
      const outcomes = await this.#append(group.flatMap(({ booked }) => booked))
      let at = 0
      for (const { booked, answer } of group) {
        answer(outcomes.slice(at, at + booked.length))
        at += booked.length
      }
    } catch (error) {
      // One of them may have spoilt it for the others: each is tried alone, and what fails alone fails.
      if (group.length > 1 && !isOfStore(error)) for (const one of group) await this.#bookGroup([one])
      else for (const { fail } of group) fail(storeFailure(error))
    }
  }

  async #append(booked: BookedCommand[]): Promise<Outcome[]> {
    const bookedAt = new Date().toISOString()
    const { row, works, more } = this.#works.current()
    const context: LedgerContext = { works, today: works.site.works.todayDate, bookedAt }
    const opens = booked.some(({ command }) => !OF_PEOPLE.has(command.body.kind))
    if (opens && this.#openedVersion !== row.version) {
      const pieces = more.stock.finishedPieces ?? []
      const commands = (known: ReadonlySet<string>) => [
        ...openingCommands(works, known, bookedAt),
        ...openingPieces(works, pieces, known, bookedAt),
      ]
      await this.#tell(await openLedger(this.#db, { name: works.site.works.name, commands, context }))
      this.#openedVersion = row.version
    }
    const outcomes = await appendCommands(this.#db, booked, context)
    await this.#tell(outcomes)
    return outcomes
  }

  #tell(outcomes: readonly Outcome[]): Promise<void> {
    return this.#news.booked(outcomes.flatMap((o) => ('event' in o && !o.repeated ? [o.event] : [])))
  }
}

function isOfStore(error: unknown): boolean {
  return error instanceof LastmetreError || storeFailure(error) !== error
}
