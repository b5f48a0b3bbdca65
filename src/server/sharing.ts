import { randomUUID } from 'node:crypto'
import type { Store } from '../store/dialect.ts'
import { newsOf, putNews } from '../store/duty.ts'
import { holdsDuty } from '../store/duty-lease.ts'
import type { OpenedStore } from '../store/open-store.ts'
import { type PostgresWatch, type Watcher, watchPostgres } from '../store/postgres-watch.ts'

/** What servers on one database tell each other of; `ledger` and `works` ring by themselves. */
export type Topic = 'ledger' | 'works' | 'repair' | 'printers' | 'planning' | 'signals' | 'sparks'

/** What whoever hears is told. Neither may throw. */
export interface Heard {
  /** Something of a topic changed; null: look at it, something may have been missed. */
  rung?(topic: Topic | null): void
  /** This server is now the one that repairs, prints and listens to the lines for all, or no longer is. */
  duty?(on: boolean): void
}

/** How several servers on one database share the work. */
export interface Sharing {
  /** Of this process; no other one has or had it. */
  readonly server: string
  /** Whether this server repairs, prints and listens to the lines for all. */
  readonly onDuty: boolean
  /** Whether there can be other servers. */
  readonly shared: boolean
  /** As onDuty, by what the database knows as it is asked: however late that is, no other one was on duty meanwhile. */
  holdsDuty(trx: Store): Promise<boolean>
  hear(heard: Heard): void
  /** Puts the newest of a topic where other servers find it, soon; what came between is left out. */
  publish(topic: Topic, content: unknown): void
  /** The newest of a topic; null where there was none. */
  newest<T>(topic: Topic): Promise<T | null>
  close(): Promise<void>
}

/** Looks whenever something of a topic may have changed; what cannot be read now is read at the next look. */
export function lookOnNews(sharing: Sharing, topic: Topic, look: () => Promise<void>): void {
  sharing.hear({
    rung: (rung) => {
      if (rung === null || rung === topic) void look().catch(() => undefined)
    },
  })
}

/** One server on its own data folder. */
export const ALONE: Sharing = {
  server: randomUUID(),
  onDuty: true,
  shared: false,
  holdsDuty: async () => true,
  hear: () => undefined,
  publish: () => undefined,
  newest: async () => null,
  close: async () => undefined,
}

/** ALONE on a data folder; on a PostgreSQL the first of its servers is on duty until it ends. */
export async function openSharing({ db, databaseUrl }: OpenedStore): Promise<Sharing> {
  if (databaseUrl === null) return ALONE
  const sharing = new PostgresSharing(db)
  await sharing.begin(databaseUrl)
  return sharing
}

class PostgresSharing implements Sharing, Watcher {
  readonly server = randomUUID()
  readonly shared = true
  readonly #db: Store
  readonly #heard: Heard[] = []
  readonly #waiting = new Map<Topic, unknown>()
  #watch: PostgresWatch | null = null
  #writing: Promise<void> | null = null

  constructor(db: Store) {
    this.#db = db
  }

  get onDuty(): boolean {
    return this.#watch?.onDuty ?? false
  }

  holdsDuty(trx: Store): Promise<boolean> {
    return holdsDuty(trx, this.server)
  }

  async begin(url: string): Promise<void> {
    this.#watch = await watchPostgres(url, this.server, this)
  }

  hear(heard: Heard): void {
    this.#heard.push(heard)
  }

  rung(topic: string | null): void {
    for (const heard of this.#heard) heard.rung?.(topic as Topic | null)
  }

  duty(on: boolean): void {
    for (const heard of this.#heard) heard.duty?.(on)
  }

  publish(topic: Topic, content: unknown): void {
    this.#waiting.set(topic, content)
    this.#writing ??= this.#write().finally(() => {
      this.#writing = null
    })
  }

  async newest<T>(topic: Topic): Promise<T | null> {
    const content = await newsOf(this.#db, topic)
    return content === null ? null : (JSON.parse(content) as T)
  }

  async close(): Promise<void> {
    await this.#writing
    await this.#watch?.close()
  }

  /** What the database does not take is left out: the next one says the same or better. */
  async #write(): Promise<void> {
    for (let next = this.#next(); next !== null; next = this.#next())
      await putNews(this.#db, next[0], JSON.stringify(next[1])).catch(() => undefined)
  }

  #next(): [Topic, unknown] | null {
    const [topic] = this.#waiting.keys()
    if (topic === undefined) return null
    const content = this.#waiting.get(topic)
    this.#waiting.delete(topic)
    return [topic, content]
  }
}
