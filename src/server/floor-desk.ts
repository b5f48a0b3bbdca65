import { applyEvent } from '../ledger/apply.ts'
import { countersNow } from '../ledger/counters-now.ts'
import type { EventKind, LedgerEvent } from '../ledger/event.ts'
import { serialsIn } from '../ledger/serials-in.ts'
import { LedgerState } from '../ledger/state.ts'
import type { CheckRow } from '../ledger/state-rows.ts'
import { worksDays } from '../ledger/works-day.ts'
import { worksNow } from '../ledger/works-now.ts'
import type { LineWorks } from '../line/line-works.ts'
import type { Store } from '../store/dialect.ts'
import { piecesOfOrders } from '../store/floor-queries.ts'
import { eventsAfter, ledgerHead, openState } from '../store/ledger-state.ts'
import { checkRows } from '../store/record-queries.ts'
import type { Works } from '../works/works.ts'
import { recordedWorks } from './kept-more.ts'
import type { CurrentWorks, WorksDesk } from './works-desk.ts'

/** Events beyond which the state is read anew instead of being followed event by event. */
const MOST_FOLLOWED = 500

/** Change nothing of what lies in the hall. */
const BESIDE: ReadonlySet<EventKind> = new Set([
  'check-recorded',
  'complaint-opened',
  'complaint-closed',
  'record-set-aside',
  'record-settled',
  'account-changed',
  'signed-in',
  'sign-in-refused',
])

/** The works that is open as it stands in the hall. */
export interface FloorNow {
  current: CurrentWorks
  /** Drums, faults and orders as of now, with all that is recorded of the lines; the works itself where there is no ledger. */
  works: Works & LineWorks
  /** Seq of the newest event in it. */
  seq: number
  /** Whether the ledger holds stock; else all is as the works folder says. */
  hasStock: boolean
  /** Drums that are not empty, their strips, and the pieces in the hall or of the works' orders. */
  state: LedgerState
}

/** What is kept from one event to the next. */
interface Kept {
  state: LedgerState
  /** Checks of the counters that were recorded since the folder. */
  counters: CheckRow[]
}

/** Keeps the present state in memory and follows the ledger, whoever writes it. */
export class FloorDesk {
  readonly #db: Store
  readonly #works: WorksDesk
  #last: (Kept & { version: number }) | null = null
  #shown: FloorNow | null = null
  #turn: Promise<unknown> = Promise.resolve()

  constructor(db: Store, works: WorksDesk) {
    this.#db = db
    this.#works = works
  }

  /** As of the newest event that is on disk. Throws 'no-works' where none is open. The answer is not to be changed. */
  now(): Promise<FloorNow> {
    const answer = this.#turn.then(() => this.#current())
    this.#turn = answer.catch(() => undefined)
    return answer
  }

  async #current(): Promise<FloorNow> {
    const current = this.#works.current()
    const { version } = current.row
    const head = await ledgerHead(this.#db)
    const shown = this.#shown
    if (shown && shown.current === current && shown.seq === head.seq) return shown
    const known = this.#last?.version === version ? this.#last : null
    const { state, counters } =
      (known && (await this.#followed(known, head.seq))) ?? (await this.#read(current))
    this.#last = { version, state, counters }
    const recorded = recordedWorks(current)
    const days = worksDays(recorded.site.works.todayDate, new Date().toISOString())
    const counterChecks = countersNow(recorded.counterChecks, counters, days)
    const works = { ...recorded, ...worksNow(recorded, state, days.dayOf), counterChecks }
    const hasStock = !state.drums.rows().next().done
    this.#shown = { current, works, seq: state.head.seq, hasStock, state }
    return this.#shown
  }

  #counters(): Promise<CheckRow[]> {
    return checkRows(this.#db, 'counter')
  }

  async #read(current: CurrentWorks): Promise<Kept> {
    const state = await openState(this.#db)
    const orders = new Set(current.works.orders.map((o) => o.order))
    for (const piece of await piecesOfOrders(this.#db, orders))
      if (!state.pieces.get(piece.serial)) state.pieces.load(piece.serial, piece)
    return { state, counters: await this.#counters() }
  }

  /** Null where the state does not hold what an event speaks of. */
  async #followed(known: Kept, toSeq: number): Promise<Kept | null> {
    const { seq } = known.state.head
    if (toSeq - seq > MOST_FOLLOWED) return null
    const events = await eventsAfter(this.#db, seq, MOST_FOLLOWED)
    // whoever was answered with the state before may still be looking at it
    const state = new LedgerState(known.state)
    for (const event of events) {
      if (!holds(state, event)) return null
      if (!BESIDE.has(event.body.kind)) applyEvent(state, event)
      state.head = { ...state.head, seq: event.seq, hash: event.hash }
    }
    const checked = events.some(({ body }) => body.kind === 'check-recorded')
    return { state, counters: checked ? await this.#counters() : known.counters }
  }
}

function holds(state: LedgerState, { body }: LedgerEvent): boolean {
  if (BESIDE.has(body.kind)) return true
  if (body.kind === 'fault-placed' || body.kind === 'fault-withdrawn')
    return state.faults.get(body.fault) !== undefined
  if ('strip' in body && !state.strips.get(body.strip)) return false
  if ('drum' in body && body.kind !== 'drum-received' && !state.drums.get(body.drum)) return false
  if (body.kind === 'pieces-cut') return true
  const serials = body.kind === 'leads-finished' ? [body.from] : serialsIn(body)
  // a piece may have outlived its drum, and its strip is then not among those that were read
  return serials.every((serial) => {
    const piece = state.pieces.get(serial)
    return piece !== undefined && state.strips.get(piece.strip) !== undefined
  })
}
