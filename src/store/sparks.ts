import type { LengthUm } from '../quantity/length.ts'
import type { Store } from './dialect.ts'
import { readInParts } from './in-parts.ts'
import type { SparkRow } from './tables.ts'

/** A spark that a line's tester reported. */
export interface StoredSpark {
  id: string
  line: string
  /** Drum that was on the payoff; null where the ledger knew of none. */
  drum: string | null
  /** ISO 8601, UTC. */
  at: string
  state: SparkRow['state']
  /** Fault that it was confirmed as. */
  fault: string | null
  /** True length inward of the drum's outer end as it is now, and greatest error. */
  fromUm: LengthUm
  uncUm: number
}

/** One reading beside a spark: quantity, ms after it, value. */
export type RawReading = [quantity: string, afterMs: number, value: number]

/** Stores a spark or what became of it; one that was answered stays as it is. */
export async function putSpark(db: Store, spark: StoredSpark): Promise<void> {
  const { fromUm, uncUm, ...row } = spark
  const place = JSON.stringify({ fromUm, uncUm })
  await db
    .insertInto('spark')
    .values({ ...row, place, raw: null })
    .onConflict((conflict) =>
      conflict
        .column('id')
        .doUpdateSet({ place, state: spark.state, fault: spark.fault, drum: spark.drum })
        .where('spark.state', '=', 'waiting'),
    )
    .execute()
}

export async function keepRaw(db: Store, id: string, raw: readonly RawReading[]): Promise<void> {
  await db
    .updateTable('spark')
    .set({ raw: JSON.stringify(raw) })
    .where('id', '=', id)
    .execute()
}

/** A person says that it is no fault; answers false where it does not wait. */
export async function dismissSpark(db: Store, id: string): Promise<boolean> {
  const { numUpdatedRows } = await db
    .updateTable('spark')
    .set({ state: 'dismissed' })
    .where('id', '=', id)
    .where('state', '=', 'waiting')
    .executeTakeFirst()
  return numUpdatedRows === 1n
}

/** Those of `ids` that were answered. */
export async function answeredSparks(db: Store, ids: ReadonlySet<string>): Promise<string[]> {
  const rows = await readInParts(ids, (part) =>
    db.selectFrom('spark').select('id').where('id', 'in', part).where('state', '!=', 'waiting').execute(),
  )
  return rows.map(({ id }) => id)
}

/** Those that nobody has answered yet, the oldest first. */
export async function waitingSparks(db: Store): Promise<StoredSpark[]> {
  const rows = await db
    .selectFrom('spark')
    .selectAll()
    .where('state', '=', 'waiting')
    .orderBy('at')
    .limit(1_000)
    .execute()
  return rows.map(asSpark)
}

/** By its own id or by the fault that it became; null where there is none. */
export async function findSpark(
  db: Store,
  id: string,
): Promise<(StoredSpark & { raw: RawReading[] | null }) | null> {
  const row = await db
    .selectFrom('spark')
    .selectAll()
    .where((where) => where.or([where('id', '=', id), where('fault', '=', id)]))
    .limit(1)
    .executeTakeFirst()
  if (row === undefined) return null
  return { ...asSpark(row), raw: row.raw === null ? null : (JSON.parse(row.raw) as RawReading[]) }
}

/** Drums by the line that they are mounted on. */
export async function mountedDrums(db: Store): Promise<Map<string, string>> {
  const rows = await db
    .selectFrom('drum')
    .select(['drum', 'mounted_on'])
    .where('mounted_on', 'is not', null)
    .execute()
  return new Map(rows.map(({ drum, mounted_on }) => [mounted_on as string, drum]))
}

function asSpark({ id, line, drum, at, state, fault, place }: SparkRow): StoredSpark {
  const { fromUm, uncUm } = JSON.parse(place) as Pick<StoredSpark, 'fromUm' | 'uncUm'>
  return { id, line, drum, at, state, fault, fromUm, uncUm }
}
