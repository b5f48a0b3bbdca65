import type { CommandsAnswer, CommandsRequest } from '../../works/floor-api.ts'
import { makerNow, onPerson, paySignOut } from '../access/station-person.ts'
import { postJson } from '../api.ts'
import { takeLead } from './leader.ts'
import { retryDelayMs } from './retry-delay.ts'
import { type SendEnd, sendWaiting } from './send-waiting.ts'
import {
  giveUpProof,
  keepRecord,
  type NewRecord,
  noteTry,
  oldestWaiting,
  openStation,
  ownStation,
  type StationStore,
  settleRecords,
} from './station-store.ts'
import { type AnsweredRecord, needsLook, type WaitingRecord } from './waiting-record.ts'

/** How the station stands with the server. */
export interface OutboxState {
  /** null until the store is open. */
  station: string | null
  waiting: WaitingRecord[]
  /** Answers that wait for a person's look, oldest first. */
  answered: AnsweredRecord[]
  /** 'offline': the last sending had no answer. 'held': the first that waits waits for the sign-in of who made it. */
  line: 'sending' | 'idle' | 'offline' | 'signed-out' | 'held'
  message: string | null
  /** The browser keeps nothing (private window, full disk): records are not taken. */
  broken: string | null
}

type Listener = () => void
const NO_ANSWER_MS = 20_000
/** Of one page; more waiting records than this are counted, not listed. */
const LISTED = 200

/** The outbox of this browser: every command goes through it, is kept first, and is sent in order, once. */
export class Outbox {
  #state: OutboxState = {
    ...{ station: null, waiting: [], answered: [], line: 'idle', message: null, broken: null },
  }
  readonly #listeners = new Set<Listener>()
  readonly #answerListeners = new Set<(answers: AnsweredRecord[]) => void>()
  readonly #db: Promise<StationStore>
  readonly #others = new BroadcastChannel('lastmetre-outbox')
  #leads = false
  #running = false
  #failed = 0
  #timer: ReturnType<typeof setTimeout> | undefined
  #giveUp: (() => void) | undefined
  readonly #forgetPerson: () => void

  constructor() {
    this.#db = openStation()
    this.#others.onmessage = ({ data }: MessageEvent<Told>) => void this.#hear(data)
    window.addEventListener('online', this.sendNow)
    this.#forgetPerson = onPerson(this.sendNow)
    void this.#start()
  }

  get state(): OutboxState {
    return this.#state
  }

  subscribe = (listener: Listener): (() => void) => {
    this.#listeners.add(listener)
    return () => this.#listeners.delete(listener)
  }

  /** Called once `state` no longer holds what was answered, and before those who follow the state are. */
  onAnswer(listener: (answers: AnsweredRecord[]) => void): () => void {
    this.#answerListeners.add(listener)
    return () => this.#answerListeners.delete(listener)
  }

  /** The store of this station, for what else a page keeps. */
  store(): Promise<StationStore> {
    return this.#db
  }

  /** Keeps a record and begins to send it. Throws where it could not be kept: then nothing was recorded. */
  async keep(wanted: NewRecord): Promise<WaitingRecord> {
    const { station } = this.#state
    if (station === null) throw new Error('This browser keeps no records here.')
    const record = await keepRecord(await this.#db, station, wanted, {
      at: new Date().toISOString(),
      by: makerNow(),
    })
    if (!record) throw new Error('No more records can be kept on this station: the server must answer first.')
    this.#tell({ what: 'kept' })
    await this.#readState()
    void this.#send()
    return record
  }

  /** A person has seen these answers. */
  async seen(running: number[]): Promise<void> {
    const tx = (await this.#db).transaction('answered', 'readwrite')
    for (const key of running) await tx.store.delete(key)
    await tx.done
    this.#tell({ what: 'settled', answers: [] })
    await this.#readState()
  }

  /** A person will settle what this account made here: it waits no longer for their sign-in. */
  async giveUpProof(account: string): Promise<void> {
    await giveUpProof(await this.#db, account)
    await this.#readState()
    this.#tell({ what: 'kept' })
    this.sendNow()
  }

  /** Tries at once, without waiting for the next turn. */
  sendNow = (): void => {
    this.#failed = 0
    if (this.#leads) void this.#send()
    else this.#tell({ what: 'send' })
  }

  close(): void {
    this.#giveUp?.()
    this.#forgetPerson()
    this.#others.close()
    clearTimeout(this.#timer)
    window.removeEventListener('online', this.sendNow)
  }

  async #start(): Promise<void> {
    try {
      const db = await this.#db
      this.#change({ station: await ownStation(db) })
      await this.#readState()
      this.#giveUp = takeLead(
        db,
        () => {
          this.#leads = true
          void this.#send()
        },
        () => {
          this.#leads = false
        },
      )
    } catch (error) {
      this.#change({ broken: error instanceof Error ? error.message : String(error) })
    }
  }

  async #readState(answers: AnsweredRecord[] = []): Promise<void> {
    const db = await this.#db
    const [waiting, answered] = await Promise.all([oldestWaiting(db, LISTED), db.getAll('answered')])
    this.#state = { ...this.#state, waiting, answered }
    if (answers.length > 0) for (const listener of this.#answerListeners) listener(answers)
    this.#change({})
  }

  async #send(): Promise<void> {
    if (!this.#leads || this.#running) return
    this.#running = true
    clearTimeout(this.#timer)
    try {
      const db = await this.#db
      const io = {
        oldest: (most: number) => oldestWaiting(db, most),
        noteTry: (records: WaitingRecord[]) => noteTry(db, records),
        post: postCommands,
        settle: (answers: AnsweredRecord[]) => this.#settle(answers),
        person: () => makerNow().account || null,
        now: () => new Date().toISOString(),
      }
      if (this.#state.line === 'idle' && this.#state.waiting.length > 0) this.#change({ line: 'sending' })
      // under a session that should have ended, all would be booked to the wrong person
      await paySignOut()
      this.#ended(await sendWaiting(io))
    } catch (error) {
      this.#ended({ end: 'gone', message: error instanceof Error ? error.message : String(error) })
    } finally {
      this.#running = false
    }
    // what was kept while the last answer came in
    const left = this.#state.line === 'idle' && (await oldestWaiting(await this.#db, 1)).length > 0
    if (left) void this.#send()
  }

  #ended(end: SendEnd): void {
    if (end.end === 'empty') {
      this.#failed = 0
      this.#change({ line: 'idle', message: null })
    } else {
      this.#failed++
      const message = end.end === 'gone' ? end.message : null
      this.#change({ line: end.end === 'gone' ? 'offline' : end.end, message })
      this.#timer = setTimeout(() => void this.#send(), retryDelayMs(this.#failed))
    }
    this.#tell({ what: 'line', line: this.#state.line, message: this.#state.message })
  }

  async #settle(answers: AnsweredRecord[]): Promise<void> {
    await settleRecords(await this.#db, answers, answers.filter(needsLook))
    this.#tell({ what: 'settled', answers })
    await this.#readState(answers)
  }

  async #hear(told: Told): Promise<void> {
    if (told.what === 'send') return this.sendNow()
    if (told.what === 'line') {
      if (!this.#leads) this.#change({ line: told.line, message: told.message })
      return
    }
    await this.#readState(told.what === 'settled' ? told.answers : [])
    if (told.what === 'kept') void this.#send()
  }

  #tell(told: Told): void {
    this.#others.postMessage(told)
  }

  #change(part: Partial<OutboxState>): void {
    this.#state = { ...this.#state, ...part }
    for (const listener of this.#listeners) listener()
  }
}

/** What the pages of one browser tell each other. */
type Told =
  | { what: 'kept' }
  | { what: 'send' }
  | { what: 'settled'; answers: AnsweredRecord[] }
  | { what: 'line'; line: OutboxState['line']; message: string | null }

function postCommands(request: CommandsRequest): Promise<CommandsAnswer> {
  return postJson<CommandsAnswer>('/api/ledger/commands', request, AbortSignal.timeout(NO_ANSWER_MS))
}
