import { sql } from 'kysely'
import { DATABASE_NOW_MS } from './database-clock.ts'
import type { Store } from './dialect.ts'
import { holdsDuty } from './duty-lease.ts'
import type { LabelSendingRow } from './tables.ts'

/** Rows that are read at one time; labels are on their way for seconds, and in doubt after a death only. */
const MAX_READ = 500

/** Which process sends; `shared`: others may as well, on one PostgreSQL. */
export interface Sender {
  server: string
  shared: boolean
}

/**
 * Puts on disk that a label is about to be sent, so that whoever comes after a death knows. 'known': it was printed already, or
 * somebody began to send it and nobody knows what became of that. 'not on duty': where `needsDuty`, another server is on duty by now; nothing is to be sent.
 */
export async function beginSending(
  db: Store,
  { server, shared }: Sender,
  sending: Omit<LabelSendingRow, 'server' | 'at_ms' | 'in_doubt'>,
  needsDuty: boolean,
): Promise<'begun' | 'known' | 'not on duty'> {
  const { key, serial, printer, line, reason, actor } = sending
  const onDuty =
    needsDuty && shared
      ? sql`exists (select 1 from duty_lease
          where id = 1 and server = ${server} and until_ms > ${DATABASE_NOW_MS})`
      : sql`1 = 1`
  // one statement: should it be slow on its way, it is judged where and when it arrives
  const { rows } = await sql`
    insert into label_sending (key, serial, printer, line, reason, actor, server, at_ms, in_doubt)
      select ${text(key)}, ${text(serial)}, ${text(printer)}, ${text(line)}, ${text(reason)}, ${text(actor)},
        ${text(server)}, ${nowMs(shared)}, 0
      where ${onDuty} and not exists (select 1 from ledger_event where key = ${key})
    on conflict (key) do nothing returning key`.execute(db)
  if (rows.length > 0) return 'begun'
  return needsDuty && shared && !(await holdsDuty(db, server)) ? 'not on duty' : 'known'
}

/** It is known what became of it; answers whether that was not known before. */
export async function endSending(db: Store, key: string): Promise<boolean> {
  const { numDeletedRows } = await db.deleteFrom('label_sending').where('key', '=', key).executeTakeFirst()
  return numDeletedRows === 1n
}

/** It was not sent by `server` after all. Where somebody was asked about it meanwhile, the question stays. */
export async function withdrawSending(db: Store, key: string, server: string): Promise<void> {
  await db
    .deleteFrom('label_sending')
    .where('key', '=', key)
    .where('server', '=', server)
    .where('in_doubt', '=', 0)
    .execute()
}

/** Nobody knows whether it was printed. */
export async function doubtSending(db: Store, key: string): Promise<void> {
  await db.updateTable('label_sending').set({ in_doubt: 1 }).where('key', '=', key).execute()
}

/** Those whose end is not known, the oldest first, and since when, ms; those that were booked meanwhile are forgotten. */
export async function openSendings(
  db: Store,
  shared: boolean,
): Promise<(LabelSendingRow & { age_ms: number })[]> {
  const rows = await db
    .selectFrom('label_sending')
    .selectAll('label_sending')
    .select([
      sql<number>`${nowMs(shared)} - at_ms`.as('age_ms'),
      sql<number | null>`(select seq from ledger_event where ledger_event.key = label_sending.key)`.as(
        'booked_seq',
      ),
    ])
    .orderBy('at_ms')
    .limit(MAX_READ)
    .execute()
  for (const { key, booked_seq } of rows) if (booked_seq !== null) await endSending(db, key)
  return rows.flatMap(({ booked_seq, ...row }) => (booked_seq === null ? [row] : []))
}

/** PostgreSQL cannot tell the type of a value that is selected. */
function text(value: string) {
  return sql`cast(${value} as text)`
}

function nowMs(shared: boolean) {
  return shared ? DATABASE_NOW_MS : sql<number>`cast(${sql.lit(Date.now())} as integer)`
}
