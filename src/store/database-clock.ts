import { sql } from 'kysely'

/** On PostgreSQL only: ms of 1970, UTC. Its clock is the one clock that servers and workers share. */
export const DATABASE_NOW_MS = sql<number>`floor(extract(epoch from clock_timestamp()) * 1000)`
