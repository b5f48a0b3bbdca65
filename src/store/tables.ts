/** Tables as kysely sees them. Columns keep to types that SQLite and PostgreSQL hold alike. */
export interface Tables {
  works_version: WorksVersionRow
  works_file: { version: number; file: string; sha256: string }
  /** Each content once, however many versions of the works hold it. */
  file_content: { sha256: string; bytes: Uint8Array }
  plan: PlanRow
}

export interface WorksVersionRow {
  version: number
  /** Where it was opened from, as shown to the user. */
  folder: string
  name: string
  /** ISO 8601, UTC. */
  opened_at: string
  cause: WorksCause
  /** What of the version before was changed; null where it was opened, and for order lines. */
  change: WorksChange | null
}

/** 'opened' replaces the whole works; 'orders' changes something of the version before: order lines unless `change` says otherwise. */
export type WorksCause = 'opened' | 'orders'

export type WorksChange = 'counter checks' | 'length guard' | 'more files'

export interface PlanRow {
  id: number
  works_version: number
  /** ISO 8601, UTC: when planning began. */
  made_at: string
  seconds: number
  seed: number
  state: PlanState
  /** The best plan so far, or the final one; null before the first. */
  plan_json: string | null
  message: string | null
}

export type PlanState = 'running' | 'done' | 'stopped' | 'failed' | 'interrupted'
