import type { Client } from 'pg'
import { HOLD_DUTY, LEASE_MS, LEAVE_DUTY } from './duty-lease.ts'
import { CHANNEL } from './sharing-migration.ts'

/** How often the connection is tried, the duty asked for, and what was not rung for looked at. */
const BEAT_MS = 1_000
/** A connection that does not answer for so long is given up, and with it the duty: with a beat, before the lease ends. */
const ANSWER_MS = 4_000
const FIRST_WAIT_MS = 250
const LONGEST_WAIT_MS = 10_000
/**
 * So that PostgreSQL forgets sessions of machines that are gone. The duty does not hang on it: behind a relay or a firewall
 * that keeps connections open, nobody would ever be found gone.
 */
const KEEPALIVE = 'set tcp_keepalives_idle = 6; set tcp_keepalives_interval = 2; set tcp_keepalives_count = 3'

/** How a beat may end without waiting for the disk: what is lost of it with the power is said again. */
const NO_WAIT = 'set synchronous_commit = off'

/** What whoever watches is told; neither may throw. */
export interface Watcher {
  /** Something of this topic changed; null: look at all of them, something may have been missed. */
  rung(topic: string | null): void
  /** This process is now the one of all that does what is done once, or no longer is. */
  duty(on: boolean): void
}

export interface PostgresWatch {
  /** Whether it is on duty at this moment; false as soon as another one may be, told or not. */
  readonly onDuty: boolean
  /** Stops; another process may be on duty at once. */
  close(): Promise<void>
}

/**
 * Keeps one connection of its own to the PostgreSQL at `url`: hears what is rung for, and asks for the duty for this process,
 * `server`, which at most one has at one time: a row says who and until when, by the database's clock. Each beat says so
 * anew; one that is not answered ends it here before it ends there. A connection that breaks is made again, ever more slowly up
 * to ten seconds, and all is looked at then. Resolves after the first try, whether it succeeded or not.
 */
export async function watchPostgres(url: string, server: string, watcher: Watcher): Promise<PostgresWatch> {
  const watch = new Watch(url, server, watcher)
  await watch.begin()
  return watch
}

class Watch implements PostgresWatch {
  readonly #url: string
  readonly #server: string
  readonly #watcher: Watcher
  #client: Client | null = null
  /** What the watcher was told. */
  #onDuty = false
  /** By performance.now(). */
  #untilMs = 0
  #closed = false
  #tries = 0
  #timer: NodeJS.Timeout | undefined
  #running: Promise<void> = Promise.resolve()

  constructor(url: string, server: string, watcher: Watcher) {
    this.#url = url
    this.#server = server
    this.#watcher = watcher
  }

  get onDuty(): boolean {
    return this.#onDuty && performance.now() < this.#untilMs
  }

  async begin(): Promise<void> {
    this.#running = this.#turn()
    await this.#running
  }

  async close(): Promise<void> {
    this.#closed = true
    clearTimeout(this.#timer)
    await this.#running
    if (this.#onDuty) await this.#client?.query(LEAVE_DUTY, [this.#server]).catch(() => undefined)
    await this.#drop()
  }

  async #turn(): Promise<void> {
    let waitMs = BEAT_MS
    try {
      if (this.#client === null) await this.#connect()
      await this.#beat()
      this.#tries = 0
    } catch {
      await this.#drop()
      waitMs = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.min(this.#tries++, 16))
    }
    if (this.#closed) return
    this.#timer = setTimeout(() => {
      this.#running = this.#turn()
    }, waitMs)
    this.#timer.unref()
  }

  async #connect(): Promise<void> {
    // Loaded only where there is one.
    const { default: pg } = await import('pg')
    const client = new pg.Client({
      connectionString: this.#url,
      connectionTimeoutMillis: ANSWER_MS,
      query_timeout: ANSWER_MS,
      keepAlive: true,
    })
    client.on('error', () => this.#lost(client))
    client.on('end', () => this.#lost(client))
    client.on('notification', ({ payload }) => {
      if (this.#client === client && payload) this.#watcher.rung(payload)
    })
    await client.connect()
    this.#client = client
    await client.query(KEEPALIVE)
    await client.query(NO_WAIT)
    await client.query(`listen ${CHANNEL}`)
  }

  async #beat(): Promise<void> {
    const client = this.#client as Client
    const askedMs = performance.now()
    const { rows } = await client.query(HOLD_DUTY, [this.#server, LEASE_MS])
    if (this.#client !== client) return
    // this process stood still for longer than its turn: what it was told meanwhile it did not take up
    if (!this.onDuty) this.#turnDuty(false)
    this.#untilMs = askedMs + LEASE_MS
    this.#turnDuty(rows.length > 0)
    this.#watcher.rung(null)
  }

  /** Another one may take the duty at once. The next turn connects anew. */
  #lost(client: Client): void {
    if (this.#client !== client) return
    this.#client = null
    this.#turnDuty(false)
  }

  async #drop(): Promise<void> {
    const client = this.#client
    this.#client = null
    this.#turnDuty(false)
    await client?.end().catch(() => undefined)
  }

  #turnDuty(on: boolean): void {
    if (this.#onDuty === on) return
    this.#onDuty = on
    this.#watcher.duty(on)
  }
}
