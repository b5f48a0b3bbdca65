import { DATABASE_NOW_MS } from './database-clock.ts'
import type { Store } from './dialect.ts'

/** So long a server is on duty after it last said so; whoever is not heard of for longer is not any more. */
export const LEASE_MS = 8_000

/**
 * Statement with which a server, $1, says on its own session that it is on duty, and for how long, $2 ms; it is where it is
 * answered a row. Another one's turn ends with its time, or with its session, at once. On PostgreSQL only.
 */
export const HOLD_DUTY = `
  with clock as (select floor(extract(epoch from clock_timestamp()) * 1000)::bigint as now_ms)
  insert into duty_lease as held (id, server, pid, until_ms)
    select 1, $1::text, pg_backend_pid(), now_ms + $2::bigint from clock
  on conflict (id) do update
    set server = excluded.server, pid = excluded.pid, until_ms = excluded.until_ms
    where held.server = excluded.server
      or held.until_ms < excluded.until_ms - $2::bigint
      or not exists (select from pg_stat_activity where pg_stat_activity.pid = held.pid)
  returning 1`

/** Statement with which a server, $1, ends its turn before its time. */
export const LEAVE_DUTY = 'update duty_lease set until_ms = 0 where server = $1::text'

/** Whether a server is on duty by what the database knows at this moment. On PostgreSQL only. */
export async function holdsDuty(db: Store, server: string): Promise<boolean> {
  const row = await db
    .selectFrom('duty_lease')
    .select('id')
    .where('id', '=', 1)
    .where('server', '=', server)
    .where('until_ms', '>', DATABASE_NOW_MS)
    .executeTakeFirst()
  return row !== undefined
}
