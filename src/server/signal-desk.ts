import { isDeepStrictEqual } from 'node:util'
import type { EventOf, LedgerEvent } from '../ledger/event.ts'
import { inwardUm, outerUm } from '../ledger/strip-place.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { UM_PER_M } from '../quantity/length.ts'
import { type FoundSpark, placeUm, type WatchFinding } from '../signals/line-watch-setup.ts'
import type { Store } from '../store/dialect.ts'
import { drumOf } from '../store/record-queries.ts'
import {
  answeredSparks,
  dismissSpark,
  findSpark,
  keepRaw,
  mountedDrums,
  putSpark,
  type StoredSpark,
  waitingSparks,
} from '../store/sparks.ts'
import type { LineSignals } from '../works/floor-api.ts'
import { brokerAccess } from './broker-secrets.ts'
import type { LedgerDesk } from './ledger-desk.ts'
import { ALONE, type Sharing } from './sharing.ts'
import { type LineTurn, lineTurn } from './signal-cut.ts'
import { lineSetups, SignalLine, silentLine } from './signal-line.ts'
import type { CurrentWorks, WorksDesk } from './works-desk.ts'

/** How often what came is taken, and how often at most a screen is told, ms. */
const DRAIN_EVERY_MS = 50
const TELL_EVERY_MS = 250
const TICK_EVERY_MS = 1_000
const LOOK_AT_WORKS_MS = 2_000
/** How often at most other servers are told. */
const PUBLISH_EVERY_MS = 1_000
/** Sparks of one line that wait for a person; beyond it the oldest is forgotten, and that is said. */
const MAX_WAITING = 50
const MAX_LISTENERS = 256
/** Writes that may wait for the database. */
const MAX_WRITES = 1_000
/** Events that may come while this server takes the lines over. */
const MAX_HELD = 5_000

type Listener = (signals: LineSignals) => void

/**
 * Listens to the lines whose signals the works has switched on, keeps the latest of each, and the sparks that wait for a
 * person. Read-only: nothing here can command a machine. Of several servers the one on duty listens, so that a spark is placed
 * once; the others show what it tells them.
 */
export class SignalDesk {
  readonly #db: Store
  readonly #works: WorksDesk
  readonly #sharing: Sharing
  readonly #now: () => number
  readonly #listeners = new Set<Listener>()
  readonly #changed = new Set<string>()
  readonly #sparks = new Map<string, StoredSpark>()
  /** Whether the lines are listened to from here, and what was booked while they are taken over. */
  #listens = false
  #held: LedgerEvent[] | null = null
  /** What the server on duty shows, by line. */
  #elsewhere: Record<string, LineSignals> = {}
  #published = ''
  #publishedAt = 0
  readonly #ids = new WeakMap<SignalLine, Map<number, string>>()
  readonly #timers: NodeJS.Timeout[] = []
  readonly #leave: () => void
  #lines = new Map<string, SignalLine>()
  #drums = new Map<string, string>()
  #configured = ''
  #configuredFor: CurrentWorks | null = null
  #shownAt = 0
  #writes: Promise<void> = Promise.resolve()
  #waitingWrites = 0
  #closed = false

  private constructor(
    db: Store,
    works: WorksDesk,
    ledger: Pick<LedgerDesk, 'listen'>,
    { sharing, now }: { sharing: Sharing; now: () => number },
  ) {
    this.#db = db
    this.#works = works
    this.#sharing = sharing
    this.#now = now
    this.#leave = ledger.listen((events) => {
      if (this.#held !== null) this.#held = [...this.#held, ...events].slice(-MAX_HELD)
      else if (this.#listens) for (const event of events) this.#booked(event)
    })
    sharing.hear({
      rung: (topic) => {
        if (sharing.onDuty && !this.#listens && this.#held === null) void this.#takeOver()
        else if (topic === null || topic === 'signals' || topic === 'sparks')
          void this.#readShared().catch(() => undefined)
      },
      duty: (on) => {
        if (on) void this.#takeOver()
        else this.#handOver()
      },
    })
  }

  static async open(
    db: Store,
    works: WorksDesk,
    ledger: Pick<LedgerDesk, 'listen'>,
    { sharing = ALONE, now = Date.now }: { sharing?: Sharing; now?: () => number } = {},
  ): Promise<SignalDesk> {
    const desk = new SignalDesk(db, works, ledger, { sharing, now })
    if (sharing.onDuty) await desk.#takeOver()
    let ticked = 0
    let looked = 0
    const turn = () => {
      const nowMs = now()
      if (nowMs - looked >= LOOK_AT_WORKS_MS) {
        looked = nowMs
        desk.#configure()
      }
      const tick = nowMs - ticked >= TICK_EVERY_MS
      if (tick) ticked = nowMs
      desk.#turn(nowMs, tick)
    }
    desk.#timers.push(setInterval(turn, DRAIN_EVERY_MS).unref())
    return desk
  }

  /** What a line shows; state 'none' where nothing is read from it. */
  signals(line: string): LineSignals {
    if (!this.#listens) return this.#elsewhere[line] ?? { ...silentLine(line), sparks: [] }
    const live = this.#lines.get(line)
    const sparks = this.#waiting(line)
      .filter(({ drum }) => drum === null || drum === this.#drums.get(line))
      .map(({ id, at, fromUm, uncUm }) => ({ id, at, fromUm, uncUm }))
    return live ? { ...live.shown(), sparks } : { ...silentLine(line), sparks }
  }

  /** Calls with what a line shows whenever that has changed, four times a second at most, until the answered function is called. */
  listen(listener: Listener): () => void {
    if (this.#listeners.size >= MAX_LISTENERS)
      throw new LastmetreError('too-many', `${MAX_LISTENERS} listen already.`)
    this.#listeners.add(listener)
    return () => this.#listeners.delete(listener)
  }

  /** A spark, waiting or answered, with what was read around it; by its id or by the fault that it became. Throws 'not-found'. */
  async spark(id: string): Promise<NonNullable<Awaited<ReturnType<typeof findSpark>>>> {
    await this.#writes
    const found = await findSpark(this.#db, id)
    if (found === null) throw new LastmetreError('not-found', `There is no spark ${id}.`)
    return found
  }

  /** A person says that it is no fault. Throws 'not-found' where it does not wait. */
  async dismiss(id: string): Promise<void> {
    const spark = this.#sparks.get(id)
    if (spark) this.#answer(spark, 'dismissed')
    else if (this.#listens || !(await dismissSpark(this.#db, id)))
      throw new LastmetreError('not-found', `The spark ${id} does not wait any more.`)
    else this.#sharing.publish('sparks', { dismissed: id })
    await this.#writes
  }

  async close(): Promise<void> {
    if (this.#closed) return
    this.#closed = true
    for (const timer of this.#timers) clearInterval(timer)
    this.#leave()
    await Promise.all([...this.#lines.values()].map((line) => line.stop()))
    await this.#writes
  }

  /** Reads what the works says of its signals and starts or stops readers where that differs. */
  #configure(): void {
    const current = this.#listens && this.#works.isOpen() ? this.#works.current() : null
    if (current === this.#configuredFor) return
    this.#configuredFor = current
    const mappings = current?.more.signals.signals ?? []
    const wanted = current ? lineSetups(current.works, mappings) : []
    const brokers = current ? brokerAccess(current.more.brokers, process.env) : []
    const text = JSON.stringify([
      brokers,
      wanted.map(({ setup, signals }) => [setup.errorRatio, setup.toCutterM, setup.electrodeM, signals]),
    ])
    if (text === this.#configured) return
    this.#configured = text
    for (const line of this.#lines.values()) void line.stop()
    this.#lines = new Map(
      wanted.map(({ setup, signals }) => [setup.line, new SignalLine(setup, signals, brokers, this.#now)]),
    )
    for (const line of this.#lines.keys()) this.#changed.add(line)
  }

  #turn(nowMs: number, tick: boolean): void {
    for (const live of this.#lines.values()) {
      const { changed, found } = live.drain()
      const late = tick ? live.tick(nowMs) : []
      for (const one of [...found, ...late]) this.#found(live, one)
      if (changed || tick) this.#changed.add(live.line)
    }
    if (nowMs - this.#shownAt < TELL_EVERY_MS) return
    this.#shownAt = nowMs
    for (const line of this.#changed) {
      const signals = this.signals(line)
      for (const listener of this.#listeners) listener(signals)
    }
    this.#changed.clear()
    this.#publish(nowMs)
  }

  #publish(nowMs: number): void {
    if (!this.#sharing.shared || !this.#listens || nowMs - this.#publishedAt < PUBLISH_EVERY_MS) return
    this.#publishedAt = nowMs
    const lines = new Set([...this.#lines.keys(), ...[...this.#sparks.values()].map(({ line }) => line)])
    const shown = Object.fromEntries([...lines].map((line) => [line, this.signals(line)]))
    const text = JSON.stringify(shown)
    if (text === this.#published) return
    this.#published = text
    this.#sharing.publish('signals', shown)
  }

  /** Listens to the lines from here on, with the sparks that wait. Where they cannot be read the lines stay as they are shown. */
  async #takeOver(): Promise<void> {
    this.#held = []
    try {
      const [sparks, drums] = [await waitingSparks(this.#db), await mountedDrums(this.#db)]
      if (!this.#sharing.onDuty || this.#closed) return
      for (const spark of sparks) this.#sparks.set(spark.id, spark)
      this.#drums = drums
      this.#listens = true
      this.#published = ''
      this.#configure()
      for (const event of this.#held ?? []) this.#booked(event)
    } catch (error) {
      if (!this.#sharing.shared) throw error
    } finally {
      this.#held = null
    }
  }

  #handOver(): void {
    this.#listens = false
    this.#sparks.clear()
    this.#configure()
  }

  /** On duty: what was answered elsewhere waits no more. Else: what the one on duty shows. */
  async #readShared(): Promise<void> {
    if (this.#listens) {
      for (const id of await answeredSparks(this.#db, new Set(this.#sparks.keys()))) {
        const spark = this.#sparks.get(id)
        this.#sparks.delete(id)
        if (spark) this.#changed.add(spark.line)
      }
      return
    }
    const told = (await this.#sharing.newest<Record<string, LineSignals>>('signals')) ?? {}
    const before = this.#elsewhere
    this.#elsewhere = told
    for (const line of new Set([...Object.keys(before), ...Object.keys(told)]))
      if (!isDeepStrictEqual(before[line], told[line]))
        for (const listener of this.#listeners) listener(this.signals(line))
  }

  #found(live: SignalLine, found: WatchFinding): void {
    const ids = this.#ids.get(live) ?? new Map<number, string>()
    this.#ids.set(live, ids)
    if (found.kind === 'spark') this.#fired(live, ids, found.spark)
    if (found.kind !== 'raw') return
    const id = ids.get(found.n)
    ids.delete(found.n)
    const spark = id === undefined ? null : id
    if (spark === null) return
    const atMs = Number(spark.split('.').at(-2))
    const raw = found.samples.map(
      ({ quantity, arrivalMs, value }) =>
        [quantity, Math.round(arrivalMs - atMs), value] as [string, number, number],
    )
    this.#write(() => keepRaw(this.#db, spark, raw))
  }

  #fired(live: SignalLine, ids: Map<number, string>, { n, atMs, fromM, uncM }: FoundSpark): void {
    const { line } = live
    const id = ids.get(n) ?? `${line}.${Math.round(atMs)}.${n}`
    const before = this.#sparks.get(id)
    // Placed better after a person answered it: the answer stands.
    if (ids.has(n) && !before) return
    ids.set(n, id)
    const place = { fromUm: placeUm(fromM), uncUm: placeUm(uncM) }
    const at = new Date(atMs).toISOString()
    const drum = before ? before.drum : (this.#drums.get(line) ?? null)
    const spark: StoredSpark = { id, line, drum, at, state: 'waiting', fault: null, ...place }
    this.#sparks.set(id, spark)
    this.#write(() => putSpark(this.#db, spark))
    const waiting = this.#waiting(line)
    for (const old of waiting.slice(0, Math.max(0, waiting.length - MAX_WAITING))) {
      this.#answer(old, 'forgotten')
      live.notice('lost', this.#now(), `More than ${MAX_WAITING} sparks wait: the oldest was given up.`)
    }
  }

  #booked(event: LedgerEvent): void {
    const turn = lineTurn(event)
    if (turn) this.#turned(turn, Math.min(Date.parse(event.at), Date.parse(event.bookedAt)))
    if (event.body.kind === 'fault-found' && event.body.signal) {
      const { body } = event
      this.#write(() => this.#confirmed(body))
    }
  }

  #turned(turn: LineTurn, atMs: number): void {
    const { line } = turn
    const live = this.#lines.get(line)
    this.#changed.add(line)
    if (turn.kind === 'cut') {
      live?.watch.cut(atMs)
      for (const spark of this.#waiting(line)) if (spark.drum === turn.drum) this.#shorten(spark, turn)
      return
    }
    const drum = this.#drums.get(line)
    const left = this.#waiting(line).filter((spark) => spark.drum !== null && spark.drum === drum).length
    if (left > 0)
      live?.notice('lost', atMs, `${left} sparks on ${drum} are not answered yet; they show again with it.`)
    if (turn.kind === 'mounted') {
      live?.watch.mounted(atMs)
      this.#drums.set(line, turn.drum)
    } else this.#drums.delete(line)
  }

  /** The outer end lies further in now; what lay in the piece went with it. */
  #shorten(spark: StoredSpark, { line, lengthUm, pieces }: Extract<LineTurn, { kind: 'cut' }>): void {
    const fromUm = spark.fromUm - lengthUm
    if (fromUm >= 0) {
      const nearer = { ...spark, fromUm }
      this.#sparks.set(spark.id, nearer)
      this.#write(() => putSpark(this.#db, nearer))
      return
    }
    const piece = pieces.find(({ toUm }) => toUm >= spark.fromUm)
    const at = `${(spark.fromUm / UM_PER_M).toFixed(1)} m, give or take ${(spark.uncUm / UM_PER_M).toFixed(1)} m`
    const where = piece ? `in ${piece.serial}: hold it` : 'in what was cut off'
    const text = `The spark at ${at} from the outer end was not answered and lies ${where}.`
    this.#lines.get(line)?.notice('cut off', this.#now(), text)
    this.#answer(spark, 'cut off')
  }

  /** Finds the spark that a person has confirmed: of this line, on a drum of this strip, the nearest within its uncertainty. */
  async #confirmed(body: EventOf<'fault-found'>): Promise<void> {
    let nearest: StoredSpark | null = null
    let leastUm = Number.POSITIVE_INFINITY
    for (const spark of this.#waiting(body.line ?? '')) {
      const drum = spark.drum === null ? null : await drumOf(this.#db, spark.drum)
      if (drum?.strip !== body.strip) continue
      const middleUm = inwardUm(drum, outerUm(drum), Math.round((body.fromUm + body.toUm) / 2))
      const offUm = Math.abs(middleUm - spark.fromUm)
      if (offUm > spark.uncUm + UM_PER_M || offUm >= leastUm) continue
      leastUm = offUm
      nearest = spark
    }
    if (nearest) this.#answer(nearest, 'confirmed', body.fault)
  }

  #answer(spark: StoredSpark, state: StoredSpark['state'], fault: string | null = null): void {
    this.#sparks.delete(spark.id)
    this.#changed.add(spark.line)
    this.#write(() => putSpark(this.#db, { ...spark, state, fault }))
  }

  #waiting(line: string): StoredSpark[] {
    return [...this.#sparks.values()].filter((spark) => spark.line === line)
  }

  /** One after the other; what the database cannot take is told at the line that it concerns least: all of them. */
  #write(work: () => Promise<void>): void {
    if (this.#waitingWrites >= MAX_WRITES) return
    this.#waitingWrites++
    this.#writes = this.#writes
      .then(work)
      .catch((error: unknown) => {
        const why = error instanceof Error ? error.message : String(error)
        for (const line of this.#lines.values())
          line.notice('lost', this.#now(), `Sparks cannot be kept: ${why.slice(0, 120)}.`)
      })
      .finally(() => {
        this.#waitingWrites--
      })
  }
}
