/** Tables as kysely sees them. Columns keep to types that SQLite and PostgreSQL hold alike. */
export interface Tables {
  works_version: WorksVersionRow
  works_file: { version: number; file: string; sha256: string }
  /** Each content once, however many versions of the works hold it. */
  file_content: { sha256: string; bytes: Uint8Array }
  plan: PlanRow
  /** What of the hall a plan was made for (ledger/plan-floor.ts), as gzipped JSON; none of plans before the ledger. */
  plan_floor: { plan_id: number; ledger_seq: number; content: Uint8Array }
  /** On PostgreSQL: plans that a worker, of whichever machine, makes for a server. */
  planning_job: {
    plan_id: number
    /** Counts how often it was given to a worker. */
    turn: number
    /** PlanInput as JSON. */
    input: string
    seconds: number
    seed: number
    stop_asked: number
    /** When its worker was last heard of, by the database's clock; null before one takes it. */
    beat_ms: number | null
    /** Counts the changes of `progress`; `best_step` is that of the last new best plan. */
    step: number
    progress: string | null
    best: string | null
    best_step: number
    /** PlanningEnd of server/planning-queue.ts as JSON. */
    ended: string | null
  }
  /** One row, id 1: events up to which repair and labels have been seen to, whichever server did it. */
  duty: { id: number; done_seq: number }
  /** What the server on duty tells the others of, the newest of each topic. `content` is JSON. */
  shared_news: { topic: string; content: string }
  /**
   * On PostgreSQL one row, id 1: which server is on duty, its session there (`pid`), and until when it is at the latest, ms by the
   * database's clock.
   */
  duty_lease: { id: number; server: string; pid: number; until_ms: number }
  /** Labels that are on their way to a printer, or may be: written before the first byte, gone once it is known what became of them. */
  label_sending: LabelSendingRow
  account: AccountRow
  /** Who is signed in. Times are ISO 8601, UTC. */
  session: { id_hash: string; account: string; began_at: string; used_at: string }
  /**
   * What a station keeps with the records it makes, as SHA-256, and from when to when its holder was signed in; `ended_at` null:
   * not ended before its time. `role` is the one of that session.
   */
  record_pass: {
    pass_hash: string
    session_hash: string
    account: string
    role: string
    began_at: string
    ended_at: string | null
  }
  /** Wrong PINs of late, by account ('account:...') and by address ('address:...'). */
  sign_in_lock: SignInLockRow
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
    /** Name of the works that the ledger belongs to; null before its book was opened. */
    works: string | null
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
  /** Tools and instruments that a piece met. */
  piece_tool: { tool: string; serial: string }
  /** Events that name a piece: its history. */
  piece_event: { serial: string; seq: number }
  lot_test: { lot: string; row: string }
  check_record: { check_id: string; what: string; subject: string; at: string; passed: number; row: string }
  complaint: { complaint: string; serial: string; verdict: string; row: string }
  aside: { seq: number; settled: number; row: string }
  /** Sparks that a line reported by its signals. */
  spark: SparkRow
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

export interface SparkRow {
  id: string
  line: string
  drum: string | null
  /** ISO 8601, UTC. */
  at: string
  /** 'cut off': it lies in what was cut since; 'forgotten': too many waited. */
  state: 'waiting' | 'confirmed' | 'dismissed' | 'cut off' | 'forgotten'
  fault: string | null
  /** { fromUm, uncUm } as JSON. */
  place: string
  /** RawReading[] of sparks.ts as JSON. */
  raw: string | null
}

export interface LabelSendingRow {
  /** The key that it is booked under once it is printed. */
  key: string
  serial: string
  printer: string
  /** Where that printer stands. */
  line: string
  reason: string
  /** Who asked for it. */
  actor: string
  /** Process that sends it. */
  server: string
  /** Begun so long ago by the database's clock (SQLite: by the server's), ms of 1970, UTC. */
  at_ms: number
  /** 1: nobody knows whether it was printed, only a person can tell. */
  in_doubt: number
}

export interface LedgerEventRow {
  seq: number
  key: string
  at: string
  booked_at: string
  actor: string
  /** Null where the actor sent it. */
  sent_by: string | null
  station: string
  plan_id: number | null
  corrects: number | null
  kind: string
  /** EventBody as JSON. */
  body: string
  previous_hash: string
  hash: string
  /** SHA-256 of the command that it was booked for: the same key with another command is refused. */
  command_hash: string
}

export interface AccountRow {
  /** Code of the badge. */
  account: string
  name: string
  /** Role of ledger/roles.ts. */
  role: string
  pin_hash: string
  closed: number
  /** ISO 8601, UTC. */
  made_at: string
}

export interface SignInLockRow {
  subject: string
  failures: number
  /** ISO 8601, UTC. */
  failed_at: string
  locked_until: string | null
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
