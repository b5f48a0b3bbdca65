import type { CommandBody } from '../../../ledger/command.ts'
import type { FloorAhead, FloorCut, FloorNews, FloorView, LineSignals } from '../../../works/floor-api.ts'
import { ask, Refused } from '../../api.ts'
import type { Outbox } from '../../outbox/outbox.ts'
import type { NewRecord } from '../../outbox/station-store.ts'
import type { AnsweredRecord, WaitingRecord } from '../../outbox/waiting-record.ts'
import { advanceView, type LineView } from './advance-view.ts'
import { type DrumHistory, historyAfter, numberedOn } from './drum-history.ts'
import { type HeldCut, heldAfter } from './held-cut.ts'

/** What a line's tablet shows; null figures until something was heard or kept. */
export interface FloorState {
  /** With all that waits booked, as far as this station can tell. */
  view: LineView | null
  /** The cut in hand; it changes only when it is recorded or a person confirms another. */
  cut: FloorCut | null
  /** What the server would have cut instead; 'none': nothing any more. */
  wanted: FloorCut | 'none' | null
  history: DrumHistory | null
  signals: LineSignals | null
  /** The server does not answer: what is shown was heard at `heardAt`. */
  offline: boolean
  heardAt: string | null
  refused: Refused | null
}

export const NOTHING_HEARD: FloorState = {
  ...{ view: null, cut: null, wanted: null, history: null, signals: null },
  ...{ offline: false, heardAt: null, refused: null },
}

/** What is kept of a line, so that a reload without the network goes on where it was. */
interface KeptLine {
  base: FloorView
  heardAt: string
  booked: Booked[]
  held: HeldCut | null
  history: DrumHistory | null
}

/** A record that is booked but not in the last view yet. */
interface Booked {
  seq: number
  body: CommandBody
}

/** The longest that a change made elsewhere stays unseen where no news come. */
const ASK_EVERY_MS = 10_000
const NO_ANSWER_MS = 15_000
/** How old what is kept of the next drums may get while things happen in the hall; under another plan it is asked for at once. */
const AHEAD_EVERY_MS = 60_000
const SIGNALS_EVERY_MS = 1000
const SIGNALS_SILENT_MS = 3000

/** Records that end the cut in hand. */
const ENDS_CUT: ReadonlySet<CommandBody['kind']> = new Set<CommandBody['kind']>([
  'cut-pieces',
  'cut-off',
  'wind-off',
  'mount-drum',
  'put-drum-away',
  'measure-rest',
])

/** One line as its tablet sees it: asks, listens, keeps, and goes on by itself while nobody answers. */
export class FloorStation {
  readonly line: string
  readonly #outbox: Outbox
  #state = NOTHING_HEARD
  readonly #listeners = new Set<() => void>()
  #base: FloorView | null = null
  #ahead: FloorAhead | null = null
  #aheadMs = Number.NEGATIVE_INFINITY
  #askingAhead = false
  #booked: Booked[] = []
  #held: HeldCut | null = null
  /** Grows with each record, so that a view asked for before it is not taken for one after it. */
  #kept = 0
  #recording = 0
  #events: EventSource | null = null
  #signalMs = 0
  #asking = false
  #askAgain = false
  #closed = false
  readonly #ends: (() => void)[] = []

  constructor(line: string, outbox: Outbox) {
    this.line = line
    this.#outbox = outbox
    this.#ends.push(outbox.subscribe(this.#onOutbox), outbox.onAnswer(this.#onAnswer))
    const timer = setInterval(() => void this.ask(), ASK_EVERY_MS)
    const signals = setInterval(() => void this.#askSignals(), SIGNALS_EVERY_MS)
    this.#ends.push(
      () => clearInterval(timer),
      () => clearInterval(signals),
      this.#listen(),
    )
    void this.#begin()
  }

  get state(): FloorState {
    return this.#state
  }

  subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener)
    return () => this.#listeners.delete(listener)
  }

  close(): void {
    this.#closed = true
    for (const end of this.#ends) end()
  }

  /** Keeps a record of this line; throws where it cannot be kept. */
  async record(wanted: Omit<NewRecord, 'planId'>): Promise<WaitingRecord> {
    this.#kept++
    // shown again once it is kept: in between, the cut in hand would seem to be another
    this.#recording++
    try {
      const record = await this.#outbox.keep({ ...wanted, planId: this.#base?.plan?.planId ?? null })
      if (ENDS_CUT.has(wanted.body.kind)) this.#held = null
      return record
    } finally {
      this.#recording--
      this.#show()
    }
  }

  /** The line stands: the cut that the server wants is the one in hand from now on. */
  confirm(): void {
    this.#held = null
    this.#show()
  }

  /** Asks the server for the line as it is now; not while a record is on its way, since it could be in the answer or not. */
  async ask(): Promise<void> {
    if (this.#closed) return
    if (this.#asking) {
      this.#askAgain = true
      return
    }
    this.#asking = true
    const kept = this.#kept
    try {
      const signal = AbortSignal.timeout(NO_ANSWER_MS)
      const view = await ask<FloorView>(`/api/floor?line=${encodeURIComponent(this.line)}`, { signal })
      this.#change({ offline: false, refused: null })
      if (kept === this.#kept && this.#outbox.state.waiting.length === 0) this.#take(view)
    } catch (error) {
      if (error instanceof Refused) this.#change({ refused: error, offline: false })
      else this.#change({ offline: true })
    } finally {
      this.#asking = false
    }
    if (this.#askAgain) {
      this.#askAgain = false
      void this.ask()
    }
  }

  async #begin(): Promise<void> {
    try {
      const db = await this.#outbox.store()
      const kept = (await db.get('kept', `floor:${this.line}`)) as KeptLine | undefined
      this.#ahead ??= ((await db.get('kept', `ahead:${this.line}`)) as FloorAhead | undefined) ?? null
      if (kept && !this.#base) {
        this.#base = kept.base
        this.#booked = kept.booked
        this.#held = kept.held
        this.#change({ heardAt: kept.heardAt, history: kept.history })
        this.#show()
      }
    } catch {
      // without a store the outbox says so; the server is asked all the same
    }
    void this.ask()
  }

  #take(view: FloorView): void {
    // an answer that was overtaken by another one
    if (this.#base && view.seq < this.#base.seq) return
    const history = view.mounted ? historyAfter(this.#state.history, view.drawing) : null
    this.#base = history ? { ...view, cuts: numberedOn(view.cuts, history) } : view
    this.#booked = this.#booked.filter((b) => b.seq > view.seq)
    void this.#askAhead(view)
    this.#change({ heardAt: new Date().toISOString(), history })
    this.#show()
  }

  /** Works out what is shown from the last view, what was booked since, and what waits. */
  #show(): void {
    if (!this.#base || this.#recording > 0) return
    const { waiting, line } = this.#outbox.state
    const bodies = [...this.#booked.map((b) => b.body), ...waiting.map((w) => w.command.body)]
    const view = advanceView(this.#base, bodies, this.#ahead)
    const settled = bodies.length === 0 || line === 'offline' || line === 'signed-out' || line === 'held'
    const { held, wanted } = heldAfter(this.#held, view, settled)
    this.#held = held
    this.#change({ view, cut: held?.cut ?? null, wanted, history: historyOf(view, this.#state.history) })
    void this.#keep()
  }

  async #keep(): Promise<void> {
    const { heardAt, history } = this.#state
    if (!this.#base || heardAt === null) return
    const kept: KeptLine = {
      ...{ base: this.#base, heardAt, booked: this.#booked, held: this.#held, history },
    }
    try {
      await (await this.#outbox.store()).put('kept', kept, `floor:${this.line}`)
    } catch {
      // said by the outbox
    }
  }

  /** What the line runs next, for when the network drops: not at once after each event, since it is much. */
  async #askAhead({ plan, seq }: FloorView): Promise<void> {
    const known = this.#ahead
    const same = known !== null && known.planId === (plan?.planId ?? null)
    const fresh = same && (known.seq >= seq || performance.now() - this.#aheadMs < AHEAD_EVERY_MS)
    if (fresh || this.#askingAhead) return
    this.#askingAhead = true
    try {
      const signal = AbortSignal.timeout(NO_ANSWER_MS)
      const path = `/api/floor/ahead?line=${encodeURIComponent(this.line)}`
      this.#ahead = await ask<FloorAhead>(path, { signal })
      this.#aheadMs = performance.now()
      this.#show()
      await (await this.#outbox.store()).put('kept', this.#ahead, `ahead:${this.line}`)
    } catch {
      // asked again with the next view
    } finally {
      this.#askingAhead = false
    }
  }

  #onOutbox = (): void => {
    this.#show()
  }

  #onAnswer = (answers: AnsweredRecord[]): void => {
    const known = this.#base?.seq ?? 0
    for (const { event, body } of answers)
      if (event && event.seq > known) this.#booked.push({ seq: event.seq, body })
    this.#show()
    void this.ask()
  }

  #listen(): () => void {
    let timer: ReturnType<typeof setTimeout> | undefined
    const open = () => {
      const events = new EventSource(`/api/floor/events?line=${encodeURIComponent(this.line)}`)
      this.#events = events
      events.onmessage = ({ data }: MessageEvent<string>) => this.#onNews(JSON.parse(data) as FloorNews)
      events.addEventListener('signal', ({ data }: MessageEvent<string>) => {
        const signals = JSON.parse(data) as LineSignals
        this.#signalMs = Date.now()
        if (signals.line === this.line) this.#change({ signals })
      })
      events.onopen = () => void this.ask()
      events.onerror = () => {
        // the server had no room for one more listener, or knows nobody here: later again
        if (events.readyState === EventSource.CLOSED) timer = setTimeout(open, ASK_EVERY_MS)
        if (!this.#state.offline) void this.ask()
      }
    }
    open()
    return () => {
      clearTimeout(timer)
      this.#events?.close()
    }
  }

  /**
   * Where the server does not send them by itself. A line that is read is told each second, so silence means that they
   * are lost; one that is not read is told when it opens and when that changes, and then there is nothing to ask.
   */
  async #askSignals(): Promise<void> {
    const isTold = this.#events?.readyState === EventSource.OPEN
    if (isTold && this.#state.signals?.state === 'none') return
    if (this.#state.offline || Date.now() - this.#signalMs < SIGNALS_SILENT_MS) return
    try {
      const signal = AbortSignal.timeout(SIGNALS_EVERY_MS)
      const path = `/api/floor/signals?line=${encodeURIComponent(this.line)}`
      this.#change({ signals: await ask<LineSignals>(path, { signal }) })
    } catch {
      this.#change({ signals: null })
    }
  }

  #onNews(news: FloorNews): void {
    if (news.seq !== this.#base?.seq || news.repair !== this.#base.repair.state) void this.ask()
  }

  #change(part: Partial<FloorState>): void {
    this.#state = { ...this.#state, ...part }
    for (const listener of this.#listeners) listener()
  }
}

/** Of a drum that was mounted without the server the drawing is the one that was kept. */
function historyOf({ mounted, drawing }: LineView, history: DrumHistory | null): DrumHistory | null {
  return mounted && drawing && history?.drum !== mounted.drum ? historyAfter(null, drawing) : history
}
