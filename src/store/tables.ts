/** Tables as kysely sees them. Columns keep to types that SQLite and PostgreSQL hold alike. */
export interface Tables {
  works_version: WorksVersionRow
  works_file: { version: number; file: string; sha256: string }
  /** Each content once, however many versions of the works hold it. */
  file_content: { sha256: string; bytes: Uint8Array }
  plan: PlanRow
  /** What happened; only ever added to. */
  ledger_event: LedgerEventRow
  /** One row, id 1: the end of the ledger. `given` is JSON. */
  ledger_head: {
    id: number
    seq: number
    hash: string
    given: string
    released_plan: number | null
    released_seq: number | null
  }
  // The present state, rebuilt from the events at will. `row` is the row of ledger/state-rows.ts as JSON; the other
  // columns are those of its fields that something is looked up by.
  strip: { strip: string; cable: string; lot: string; row: string }
  stretch: {
    strip: string
    from_um: number
    to_um: number
    use: string
    ref: string | null
    cause: string | null
    ratio: number
    seq: number
  }
  drum: {
    drum: string
    strip: string
    from_um: number
    to_um: number
    mounted_on: string | null
    row: string
  }
  fault: { fault: string; strip: string; row: string }
  piece: {
    serial: string
    cable: string
    lot: string
    strip: string
    from_um: number
    to_um: number
    parent: string | null
    line: string
    at: string
    actor: string
    order_id: string | null
    order_line: number | null
    where_is: string
    shipment: string | null
    row: string
  }
  piece_tool: { tool: string; serial: string }
  lot_test: { lot: string; row: string }
  check_record: { check_id: string; what: string; subject: string; at: string; passed: number; row: string }
  complaint: { complaint: string; serial: string; verdict: string; row: string }
  aside: { seq: number; settled: number; row: string }
  movement: {
    seq: number
    n: number
    at: string
    cable: string
    lot: string
    strip: string
    line: string | null
    actor: string
    what: string
    um: number
    unc_um: number
    cause: string | null
  }
}

export interface LedgerEventRow {
  seq: number
  key: string
  at: string
  booked_at: string
  actor: string
  station: string
  plan_id: number | null
  corrects: number | null
  kind: string
  /** EventBody as JSON. */
  body: string
  previous_hash: string
  hash: string
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
