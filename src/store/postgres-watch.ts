import type { Client } from 'pg'
import { CHANNEL } from './sharing-migration.ts'

/** How often the connection is tried, the duty asked for, and what was not rung for looked at. */
const BEAT_MS = 1_000
/** A connection that does not answer for so long is given up, and with it the duty. */
const ANSWER_MS = 4_000
const FIRST_WAIT_MS = 250
const LONGEST_WAIT_MS = 10_000
/** Number of the lock that whoever is on duty holds; of this database only. Any number would do. */
const DUTY_LOCK = 5_151_001
/**
 * PostgreSQL takes the lock back when it learns that the other end is gone: at once where a process died, after these
 * seconds where the machine or the network did. Longer than ANSWER_MS and a beat, so that two are never on duty.
 */
const KEEPALIVE = 'set tcp_keepalives_idle = 6; set tcp_keepalives_interval = 2; set tcp_keepalives_count = 3'

/** What whoever watches is told; neither may throw. */
export interface Watcher {
  /** Something of this topic changed; null: look at all of them, something may have been missed. */
  rung(topic: string | null): void
  /** This process is now the one of all that does what is done once, or no longer is. */
  duty(on: boolean): void
}

export interface PostgresWatch {
  /** Stops; another process may be on duty at once. */
  close(): Promise<void>
}

/**
 * Keeps one connection of its own to the PostgreSQL at `url`: hears what is rung for, and asks for the duty, which at most one
 * process has at one time (a session's advisory lock). A connection that breaks is made again, ever more slowly up to ten
 * seconds, and all is looked at then. Resolves after the first try, whether it succeeded or not.
 */
export async function watchPostgres(url: string, watcher: Watcher): Promise<PostgresWatch> {
  const watch = new Watch(url, watcher)
  await watch.begin()
  return watch
}

class Watch implements PostgresWatch {
  readonly #url: string
  readonly #watcher: Watcher
  #client: Client | null = null
  #onDuty = false
  #closed = false
  #tries = 0
  #timer: NodeJS.Timeout | undefined
  #running: Promise<void> = Promise.resolve()

  constructor(url: string, watcher: Watcher) {
    this.#url = url
    this.#watcher = watcher
  }

  async begin(): Promise<void> {
    this.#running = this.#turn()
    await this.#running
  }

  async close(): Promise<void> {
    this.#closed = true
    clearTimeout(this.#timer)
    await this.#running
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
    await client.query(`listen ${CHANNEL}`)
  }

  async #beat(): Promise<void> {
    const client = this.#client as Client
    if (this.#onDuty) await client.query('select 1')
    else {
      const { rows } = await client.query<{ got: boolean }>('select pg_try_advisory_lock($1) as got', [
        DUTY_LOCK,
      ])
      if (rows[0]?.got && this.#client === client) this.#turnDuty(true)
    }
    this.#watcher.rung(null)
  }

  /** The lock is gone with the session. The next turn connects anew. */
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
