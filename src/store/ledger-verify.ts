import { sql } from 'kysely'
import { applyEvent } from '../ledger/apply.ts'
import { broken } from '../ledger/conserve.ts'
import type { LedgerEvent } from '../ledger/event.ts'
import { canonical, eventText } from '../ledger/event-text.ts'
import { LedgerState } from '../ledger/state.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from './dialect.ts'
import { sha256 } from './ledger-append.ts'
import {
  asideRow,
  checkRow,
  complaintRow,
  drumRow,
  eventOf,
  faultRow,
  lotRow,
  movementRow,
  pieceEventRows,
  pieceRow,
  stretchRow,
  stripRow,
  toolsOf,
} from './ledger-rows.ts'
import type { LedgerEventRow, Tables } from './tables.ts'

/** Rows that are read at one time. */
const ROWS_AT_ONCE = 2_000
/** Faults that are told in words; the others are counted. */
const MAX_TOLD = 100

export interface LedgerReport {
  events: number
  /** Hash of the last event: who knows it knows the whole ledger. */
  hash: string
  strips: number
  pieces: number
  /** What is wrong, in words; empty where all is right. */
  problems: string[]
  /** Problems beyond those. */
  more: number
}

/**
 * Rebuilds the present state from the events alone and compares: numbers of events without a gap, each hash with its text
 * and its predecessor's hash, every row of every table of the state, the head, and the conservation of every strip.
 * Reads one moment of the database, however long it takes.
 */
export async function verifyLedger(db: Store): Promise<LedgerReport> {
  return db
    .transaction()
    .setIsolationLevel('repeatable read')
    .execute(async (trx) => {
      const found = new Found()
      const state = new LedgerState()
      await replay(trx, state, found)
      if (!found.isBroken) {
        for (const wrong of broken(state)) found.add(wrong)
        await compareHead(trx, state, found)
        await compareTables(trx, state, found)
      }
      return {
        events: state.head.seq,
        hash: state.head.hash,
        strips: [...state.strips.rows()].length,
        pieces: [...state.pieces.rows()].length,
        problems: found.told,
        more: found.more,
      }
    })
}

/** Applies every event to an empty state, whose rows are then what the tables must hold. Throws 'ledger-broken' where one cannot be. */
export async function replayLedger(db: Store, state: LedgerState): Promise<void> {
  for await (const rows of eventRows(db)) {
    for (const row of rows) {
      const problem = follow(state, row, [])
      if (problem !== null) throw new LastmetreError('ledger-broken', `Event ${row.seq}: ${problem}`)
    }
  }
}

async function* eventRows(db: Store): AsyncGenerator<LedgerEventRow[]> {
  for (let after = 0; ; ) {
    const rows = await db
      .selectFrom('ledger_event')
      .selectAll()
      .where('seq', '>', after)
      .orderBy('seq')
      .limit(ROWS_AT_ONCE)
      .execute()
    // The last one may be empty: nothing more follows.
    yield rows
    if (rows.length < ROWS_AT_ONCE) return
    after = rows.at(-1)?.seq ?? after
  }
}

class Found {
  readonly told: string[] = []
  more = 0
  /** The events themselves cannot be followed further. */
  isBroken = false

  add(problem: string): void {
    if (this.told.length < MAX_TOLD) this.told.push(problem)
    else this.more += 1
  }
}

async function replay(trx: Store, state: LedgerState, found: Found): Promise<void> {
  for await (const rows of eventRows(trx)) {
    const from = { seq: state.head.seq, movement: state.movements.length }
    const named: Tables['piece_event'][] = []
    for (const row of rows) {
      const problem = follow(state, row, named)
      if (problem !== null) {
        found.add(`Event ${row.seq}: ${problem}`)
        found.isBroken = true
        return
      }
    }
    // The last batch takes what stands beyond the end as well: nothing may.
    const isLast = rows.length < ROWS_AT_ONCE
    const toSeq = isLast ? Number.MAX_SAFE_INTEGER : state.head.seq
    for (const [table, key, made] of [
      ['movement', ['seq', 'n'], state.movements.slice(from.movement).map(movementRow)],
      ['piece_event', ['serial', 'seq'], named],
    ] as const) {
      const stored = await trx
        .selectFrom(table)
        .selectAll()
        .where('seq', '>', from.seq)
        .where('seq', '<=', toSeq)
        .execute()
      const expected = new Expected(table, key, made, found)
      for (const row of stored) expected.tick(row)
      expected.end()
    }
  }
}

/** Applies one event; answers why it cannot be the next. */
function follow(state: LedgerState, row: LedgerEventRow, named: Tables['piece_event'][]): string | null {
  const next = state.head.seq + 1
  if (row.seq !== next) return `event ${next} is missing.`
  let event: LedgerEvent
  try {
    event = eventOf(row)
  } catch {
    return 'its body cannot be read.'
  }
  if (event.body.kind !== row.kind) return `it is listed as ${row.kind}, but says ${event.body.kind}.`
  if (event.previousHash !== state.head.hash) return 'it does not follow the event before it.'
  if (sha256(eventText(event)) !== event.hash) {
    return 'its hash is not that of its text: it was changed afterwards.'
  }
  try {
    applyEvent(state, event)
  } catch (error) {
    return `it cannot be applied: ${(error as Error).message}.`
  }
  named.push(...pieceEventRows(event))
  return null
}

async function compareHead(trx: Store, state: LedgerState, found: Found): Promise<void> {
  const row = await trx.selectFrom('ledger_head').selectAll().where('id', '=', 1).executeTakeFirst()
  if (row === undefined) return found.add('The head of the ledger is missing.')
  const { seq, hash, given, released_plan, released_seq } = row
  const stored = { seq, hash, given: JSON.parse(given) as unknown, released_plan, released_seq }
  const { head } = state
  const rebuilt = {
    seq: head.seq,
    hash: head.hash,
    given: head.given,
    released_plan: head.releasedPlan,
    released_seq: head.releasedSeq,
  }
  if (canonical(stored) !== canonical(rebuilt)) {
    found.add(`The head says ${canonical(stored)}, the events ${canonical(rebuilt)}.`)
  }
}

async function compareTables(trx: Store, state: LedgerState, found: Found): Promise<void> {
  const rows = function* <Row, Made extends object>(table: Iterable<Row>, make: (row: Row) => Made) {
    for (const row of table) yield make(row)
  }
  const compare = (name: StateTableName, key: readonly string[], made: Iterable<object>) =>
    compareTable(trx, name, key, made, found)
  await compare('strip', ['strip'], rows(state.strips.rows(), stripRow))
  const stretches = [...state.stretches.rows()].flat()
  await compare('stretch', ['strip', 'from_um'], rows(stretches, stretchRow))
  await compare('drum', ['drum'], rows(state.drums.rows(), drumRow))
  await compare('fault', ['fault'], rows(state.faults.rows(), faultRow))
  await compare('piece', ['serial'], rows(state.pieces.rows(), pieceRow))
  const tools = [...state.pieces.rows()].flatMap((piece) =>
    toolsOf(piece).map((tool) => ({ tool, serial: piece.serial })),
  )
  await compare('piece_tool', ['tool', 'serial'], tools)
  await compare('lot_test', ['lot'], rows(state.lots.rows(), lotRow))
  await compare('check_record', ['check_id'], rows(state.checks.rows(), checkRow))
  await compare('complaint', ['complaint'], rows(state.complaints.rows(), complaintRow))
  await compare('aside', ['seq'], rows(state.asides.rows(), asideRow))
}

type StateTableName =
  | 'strip'
  | 'stretch'
  | 'drum'
  | 'fault'
  | 'piece'
  | 'piece_tool'
  | 'lot_test'
  | 'check_record'
  | 'complaint'
  | 'aside'

/** Reads a whole table in order of its key and ticks off the rows that the events make. */
async function compareTable(
  trx: Store,
  name: StateTableName,
  key: readonly string[],
  made: Iterable<object>,
  found: Found,
): Promise<void> {
  const expected = new Expected(name, key, made, found)
  const columns = key.map((column) => sql.ref(column))
  let last: Record<string, unknown> | undefined
  for (;;) {
    // Both databases compare tuples from left to right, and in the order that they sort by.
    const after =
      last === undefined
        ? sql``
        : sql`where (${sql.join(columns)}) > (${sql.join(key.map((c) => last?.[c]))})`
    const { rows } = await sql<Record<string, unknown>>`select * from ${sql.table(name)} ${after}
      order by ${sql.join(columns)} limit ${ROWS_AT_ONCE}`.execute(trx)
    for (const row of rows) expected.tick(row)
    if (rows.length < ROWS_AT_ONCE) break
    last = rows.at(-1)
  }
  expected.end()
}

/** Rows of a table that the events make, ticked off as they are found. */
class Expected {
  readonly #name: string
  readonly #key: readonly string[]
  readonly #found: Found
  readonly #rows = new Map<string, string>()

  constructor(name: string, key: readonly string[], made: Iterable<object>, found: Found) {
    this.#name = name
    this.#key = key
    this.#found = found
    for (const row of made) this.#rows.set(this.#keyOf(row), comparable(row))
  }

  tick(row: object): void {
    const key = this.#keyOf(row)
    const wanted = this.#rows.get(key)
    if (wanted === undefined) this.#found.add(`${this.#name} ${key} stands there, but no event made it.`)
    else if (wanted !== comparable(row))
      this.#found.add(`${this.#name} ${key} is not what the events make of it.`)
    this.#rows.delete(key)
  }

  end(): void {
    for (const key of this.#rows.keys()) this.#found.add(`${this.#name} ${key} is missing.`)
  }

  #keyOf(row: object): string {
    return this.#key.map((column) => String((row as Record<string, unknown>)[column])).join(' ')
  }
}

/** A table row as text; what is JSON within it independent of its order. */
function comparable(row: object): string {
  const { row: json, ...columns } = row as { row?: string }
  return canonical({ ...columns, row: json === undefined ? null : (JSON.parse(json) as unknown) })
}
