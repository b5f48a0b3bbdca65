import { isDeepStrictEqual } from 'node:util'
import { repairText } from '../dispatch/repair-text.ts'
import type { EventKind, LedgerEvent } from '../ledger/event.ts'
import { originsOf } from '../ledger/plan-floor.ts'
import {
  leavingPlan,
  type PlanStanding,
  planStanding,
  repairOrder,
  withoutBegun,
} from '../ledger/repair-order.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import type { Repair } from '../plan/repair.ts'
import { planChanges } from '../plan/repair-changes.ts'
import { verifyPlan } from '../plan/verify.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { lockHead } from '../store/ledger-append.ts'
import type { FloorRepair } from '../works/floor-api.ts'
import type { OnDuty } from './duty.ts'
import type { Board, FloorBoard } from './floor-board.ts'
import { KeptThread } from './kept-thread.ts'
import type { LedgerDesk } from './ledger-desk.ts'
import { keepPlanWithin } from './plan-floors.ts'
import { planInputOf } from './plan-input-of.ts'
import type { RepairRequest } from './repair-worker.ts'
import { ALONE, lookOnNews, type Sharing } from './sharing.ts'

/** Most time that one repair may look for better; as a rule it is done before. The next cut is wanted within a second. */
const SECONDS = 0.4
const SEED = 1
/** Whoever listens inside this server. */
const MAX_LISTENERS = 128
/** Cuts as they come need no look at the plan at once: many in a moment are looked at together. */
const QUIET_MS = 40
/** What the plan proves of a cable that nothing happened to is not carried over: sums of it would not hold. */
const NOT_PROVEN_MICRO = -1e15

/** After these the rest of the plan is looked at before anything else is done. */
const AT_ONCE: ReadonlySet<EventKind> = new Set([
  'fault-found',
  'fault-placed',
  'rest-measured',
  'drum-held',
  'piece-spoiled',
])
/** These may have moved what is left of the plan. */
const SOON: ReadonlySet<EventKind> = new Set([
  'pieces-cut',
  'length-cut-off',
  'remnant-wound-off',
  'drum-mounted',
  'drum-put-away',
  'fault-withdrawn',
  'piece-corrected',
  'piece-allotted',
  'piece-returned',
  'cut-moved',
  'drum-released',
])

const NONE: FloorRepair = {
  ...{ state: 'none', because: null, why: '', changes: [], orders: [], tookMs: null, message: null },
}

type Listener = (repair: FloorRepair) => void

/**
 * Looks at what is left of the plan in force after each event and has it repaired where it no longer holds: what a fault, a
 * short rest or a spoiled piece has made impossible is cut from elsewhere, all else stays. The repaired plan is stored like
 * any other and released by the server. Of several servers the one on duty does it; the others show what it tells them.
 */
export class RepairDesk implements OnDuty {
  readonly #db: Store
  readonly #board: FloorBoard
  readonly #ledger: LedgerDesk
  readonly #sharing: Sharing
  readonly #thread = new KeptThread<RepairRequest, Repair>('repair-worker', { maxHeapMb: 320, maxMs: 30_000 })
  readonly #listeners = new Set<Listener>()
  readonly #leave: () => void
  #waits: LedgerEvent | null = null
  #looksAt: LedgerEvent | null = null
  #timer: NodeJS.Timeout | undefined
  #running: Promise<void> | null = null
  #closed = false
  #repair = NONE
  /** What was booked up to here the last repair has seen. */
  #repairedToSeq = 0

  constructor(db: Store, board: FloorBoard, ledger: LedgerDesk, sharing: Sharing = ALONE) {
    this.#db = db
    this.#board = board
    this.#ledger = ledger
    this.#sharing = sharing
    this.#leave = ledger.listen((events) => {
      if (sharing.onDuty) this.#heard(events)
    })
    lookOnNews(sharing, 'repair', () => this.#readShared())
    sharing.hear({
      duty: (on) => {
        // whoever was at it before has died over it
        if (on) this.#tell(this.#repair.state === 'running' ? NONE : this.#repair)
      },
    })
  }

  /** The last repair, or the one that runs. */
  get repair(): FloorRepair {
    return this.#repair
  }

  /** Calls the listener at each change, until the answered function is called. */
  listen(listener: Listener): () => void {
    if (this.#listeners.size >= MAX_LISTENERS)
      throw new LastmetreError('too-many', `${MAX_LISTENERS} listen already.`)
    this.#listeners.add(listener)
    return () => this.#listeners.delete(listener)
  }

  get openSeq(): number | null {
    return this.#looksAt?.seq ?? this.#waits?.seq ?? null
  }

  async takeOver(events: readonly LedgerEvent[]): Promise<void> {
    this.#heard(events)
  }

  handOver(): void {
    clearTimeout(this.#timer)
    this.#timer = undefined
    this.#waits = null
  }

  /** Resolves when nothing is looked at or repaired at this moment. */
  async settled(): Promise<void> {
    while (this.#running !== null) await this.#running
  }

  /** Waits for the repair that runs. */
  async close(): Promise<void> {
    this.#closed = true
    this.#leave()
    clearTimeout(this.#timer)
    await this.#running
    await this.#thread.close()
    this.#listeners.clear()
  }

  #heard(events: readonly LedgerEvent[]): void {
    let atOnce = false
    for (const event of events) {
      const { body } = event
      // somebody works by a plan: what may be needed in mid-run is loaded now
      if (body.kind === 'plan-released' || body.kind === 'drum-mounted') this.#thread.warm()
      const soon = SOON.has(body.kind) || (body.kind === 'plan-released' && body.cause === 'planned')
      if (AT_ONCE.has(body.kind)) {
        this.#waits = event
        atOnce = true
      } else if (soon) {
        this.#waits ??= event
        this.#timer ??= setTimeout(() => this.#run(), QUIET_MS)
      }
    }
    if (!atOnce) return
    clearTimeout(this.#timer)
    this.#run()
  }

  #run(): void {
    this.#timer = undefined
    if (this.#closed) return
    this.#running ??= this.#work().finally(() => {
      this.#running = null
    })
  }

  /** What comes during a repair is seen to after it, all of it together. */
  async #work(): Promise<void> {
    while (this.#waits !== null && !this.#closed) {
      const because = this.#waits
      this.#waits = null
      this.#looksAt = because
      const startMs = performance.now()
      try {
        await this.#look(because, startMs)
      } catch (error) {
        const message = error instanceof Error ? error.message : String(error)
        // by another server it may be done
        if (this.#sharing.onDuty)
          this.#tell({ ...NONE, state: 'failed', because: because.seq, why: whyOf(because), message })
      }
      this.#looksAt = null
    }
  }

  async #look(because: LedgerEvent, startMs: number): Promise<void> {
    const board = await this.#board.board()
    const { now, released, open } = board
    if (released === null) return
    const standing = planStanding(open, released.plan, now.works)
    if (standing.broken.length === 0 && standing.short.length === 0) {
      this.#seenTo(because)
      return
    }
    const begun = { ...NONE, because: because.seq, why: whyOf(because) }
    this.#tell({ ...begun, state: 'running' })
    const repaired = await this.#repaired(board, standing)
    if (!this.#sharing.onDuty) return
    const planId = await this.#keep(now, repaired)
    if (planId === null) return
    await this.#release(board, planId)
    const changes = planChanges(standing.mountings, repaired.mountings)
    this.#repairedToSeq = now.state.head.seq
    this.#tell({
      ...begun,
      state: 'done',
      changes: repairText(changes),
      orders: ordersOf(board, standing, changes, repaired),
      tookMs: Math.round(performance.now() - startMs),
    })
  }

  /** What was booked while the look at something before it had begun may be repaired for by then; it is what the person waits for. */
  #seenTo(event: LedgerEvent): void {
    const { seq, body } = event
    const last = this.#repair
    if (last.state !== 'done' || last.because === null || !AT_ONCE.has(body.kind)) return
    if (seq > last.because && seq <= this.#repairedToSeq)
      this.#tell({ ...last, because: seq, why: whyOf(event) })
  }

  async #repaired({ now, released }: Board, standing: PlanStanding): Promise<Plan> {
    const input = planInputOf(now.works)
    const { mountings, unserved, held } = repairOrder(standing, now.state, input)
    const old = released!.plan
    const proven = old.unservedMicro - old.bound.unservedMicro
    const plan = {
      mountings,
      unserved,
      byCable: input.cables.map(({ cable }) => ({
        ...{ cable, costMicro: 0, boundMicro: NOT_PROVEN_MICRO, deliveredMicro: 0 },
      })),
      unservedMicro: proven,
      bound: { unservedMicro: 0, costMicro: NOT_PROVEN_MICRO },
    }
    const order = {
      kind: 'repair' as const,
      input,
      before: null,
      plan,
      seed: SEED,
      seconds: SECONDS,
      made: [],
      held,
    }
    const repair = await this.#thread.ask(order)
    const found = stated(input, { ...repair.plan, mountings: withoutBegun(repair.plan.mountings) })
    // time may have been too short for anything better than to leave out what cannot be cut
    const left = leavingPlan(standing, input)
    const leaving = left && stated(input, { ...repair.plan, ...left })
    return leaving && leaving.unservedMicro < found.unservedMicro ? leaving : found
  }

  /** Null where another server is on duty by the time that the database has it. */
  #keep(now: Board['now'], plan: Plan): Promise<number | null> {
    return this.#db.transaction().execute(async (trx) => {
      await lockHead(trx)
      if (!(await this.#sharing.holdsDuty(trx))) return null
      return keepPlanWithin(trx, now, { seconds: SECONDS, seed: SEED }, plan)
    })
  }

  /** The key is that of the release that it mends: of two servers that mend one plan, one alone is booked. */
  async #release({ now }: Board, planId: number): Promise<void> {
    const at = new Date().toISOString()
    const [outcome] = await this.#ledger.book(
      [
        {
          ...{ key: `repaired.${now.state.head.releasedSeq}`, at, station: 'server', planId, corrects: null },
          body: {
            kind: 'release-plan',
            planId,
            worksVersion: now.current.row.version,
            cause: 'repaired',
            origins: originsOf(now.state),
          },
        },
      ],
      'server',
    )
    if (outcome && 'refused' in outcome) throw new LastmetreError('unexpected', outcome.refused.message)
  }

  #tell(repair: FloorRepair): void {
    if (this.#sharing.onDuty) this.#sharing.publish('repair', repair)
    this.#show(repair)
  }

  #show(repair: FloorRepair): void {
    this.#repair = repair
    for (const listener of this.#listeners) listener(repair)
  }

  async #readShared(): Promise<void> {
    if (this.#sharing.onDuty) return
    const told = await this.#sharing.newest<FloorRepair>('repair')
    if (this.#sharing.onDuty || told === null || isDeepStrictEqual(told, this.#repair)) return
    this.#show(told)
  }
}

/** With what it costs and leaves; how good it could have been is not proven in so short a time. Throws 'plan-broken'. */
function stated(input: PlanInput, plan: Plan): Plan {
  const verdict = verifyPlan(input, plan)
  const [first] = verdict.broken
  if (first)
    throw new LastmetreError(
      'plan-broken',
      `The plan breaks a rule (${first.rule}, ${first.where}): ${first.why}.`,
    )
  const { unservedMicro, costMicro, costItems, deliveredMicro } = verdict
  return {
    ...plan,
    ...{ unservedMicro, costMicro, costItems, deliveredMicro, byCable: [] },
    bound: { unservedMicro: 0, costMicro: Number.NEGATIVE_INFINITY },
  }
}

function ordersOf(
  { now }: Board,
  standing: PlanStanding,
  changes: ReturnType<typeof planChanges>,
  repaired: Plan,
): string[] {
  const names = new Set<string>()
  const add = (order: string, orderLine: number) => {
    const line = now.works.orders.find((o) => o.order === order && o.line === orderLine)
    names.add(`${order}/${line?.open?.restOf?.line ?? orderLine}`)
  }
  for (const change of changes) if ('order' in change) add(change.order, change.orderLine)
  const before = new Map(standing.unserved.map((u) => [`${u.order}/${u.orderLine}`, u.pieces]))
  for (const { order, orderLine, pieces } of repaired.unserved)
    if (pieces > (before.get(`${order}/${orderLine}`) ?? 0)) add(order, orderLine)
  for (const { order, orderLine } of standing.short) add(order, orderLine)
  return [...names].sort()
}

/** Why the plan was looked at, in words. */
function whyOf({ body }: LedgerEvent): string {
  switch (body.kind) {
    case 'fault-found':
      return `Fault ${body.fault} (${body.code}) was found on ${body.strip}.`
    case 'fault-placed':
      return `Fault ${body.fault} lies elsewhere than was thought.`
    case 'fault-withdrawn':
      return `Fault ${body.fault} was withdrawn.`
    case 'rest-measured':
      return body.how === 'ran out' ? `${body.drum} ran out.` : `The rest of ${body.drum} was measured anew.`
    case 'drum-held':
      return `${body.drum} is held: ${body.reason}.`
    case 'piece-spoiled':
      return `${body.serial} was spoiled: ${body.cause}.`
    case 'pieces-cut':
    case 'length-cut-off':
    case 'remnant-wound-off':
      return `What was cut off ${body.drum} is not what was planned.`
    case 'plan-released':
      return 'The hall has changed since the released plan was made.'
    default:
      return 'The hall has changed since the plan was made.'
  }
}
