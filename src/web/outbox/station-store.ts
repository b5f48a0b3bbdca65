import { type DBSchema, type IDBPDatabase, openDB } from 'idb'
import type { CommandBody } from '../../ledger/command.ts'
import type { Maker } from '../access/station-person.ts'
import { recordKey, stationName } from './record-key.ts'
import type { AnsweredRecord, WaitingRecord } from './waiting-record.ts'

/** What this browser keeps for itself, so that neither a reload nor a dead network loses it. */
interface StationSchema extends DBSchema {
  /** Records that the server has not answered, in their order. */
  waiting: { key: number; value: WaitingRecord }
  /** Answers that a person has not seen. */
  answered: { key: number; value: AnsweredRecord }
  /** Name of the station, running number, lease, and what was last seen of each line. */
  kept: { key: string; value: unknown }
}

export type StationStore = IDBPDatabase<StationSchema>

/** More than a week without the server; beyond it nothing is taken, and said so. */
export const MOST_WAITING = 5000
const MOST_ANSWERED = 500

export function openStation(): Promise<StationStore> {
  return openDB<StationSchema>('lastmetre-station', 1, {
    upgrade(db) {
      db.createObjectStore('waiting', { keyPath: 'running' })
      db.createObjectStore('answered', { keyPath: 'running' })
      db.createObjectStore('kept')
    },
  })
}

function byChance(bytes: number): Uint8Array {
  return crypto.getRandomValues(new Uint8Array(bytes))
}

/** The station's own name; made at the first call. */
export async function ownStation(db: StationStore): Promise<string> {
  const tx = db.transaction('kept', 'readwrite')
  const known = await tx.store.get('station')
  const name = typeof known === 'string' ? known : stationName(byChance(4))
  if (name !== known) await tx.store.put(name, 'station')
  await tx.done
  return name
}

export interface NewRecord {
  body: CommandBody
  planId: number | null
  words: string
}

/** Numbers a record and keeps it, in one transaction; null where the outbox is full. */
export async function keepRecord(
  db: StationStore,
  station: string,
  wanted: NewRecord,
  made: { at: string; by: Maker },
): Promise<WaitingRecord | null> {
  const tx = db.transaction(['waiting', 'kept'], 'readwrite', { durability: 'strict' })
  if ((await tx.objectStore('waiting').count()) >= MOST_WAITING) return null
  const last = await tx.objectStore('kept').get('running')
  const running = (typeof last === 'number' ? last : 0) + 1
  const key = recordKey(station, running, byChance(8))
  const { at, by } = made
  const command = { key, at, station, planId: wanted.planId, corrects: null, body: wanted.body }
  const record = { running, command, by, words: wanted.words, tries: 0 }
  await tx.objectStore('waiting').add(record)
  await tx.objectStore('kept').put(running, 'running')
  await tx.done
  return record
}

/** The oldest waiting records, in their order. */
export function oldestWaiting(db: StationStore, most: number): Promise<WaitingRecord[]> {
  return db.getAll('waiting', null, most)
}

/** Notes that these were sent, before they are sent: what is then lost on the way is sent again as late. */
export async function noteTry(db: StationStore, records: WaitingRecord[]): Promise<void> {
  const tx = db.transaction('waiting', 'readwrite')
  for (const record of records) await tx.store.put({ ...record, tries: record.tries + 1 })
  await tx.done
}

/** No longer waits for the sign-in of this account: sent with nothing that proves it, which the server keeps for a person. */
export async function giveUpProof(db: StationStore, account: string): Promise<void> {
  const tx = db.transaction('waiting', 'readwrite')
  for await (const cursor of tx.store) {
    const { by } = cursor.value
    if (by.account === account && by.pass === null)
      await cursor.update({ ...cursor.value, by: { ...by, pass: '' } })
  }
  await tx.done
}

/** Takes the answered ones out; keeps those that a person must see. */
export async function settleRecords(db: StationStore, answers: AnsweredRecord[], look: AnsweredRecord[]) {
  const tx = db.transaction(['waiting', 'answered'], 'readwrite')
  for (const { running } of answers) await tx.objectStore('waiting').delete(running)
  for (const answer of look) await tx.objectStore('answered').put(answer)
  const kept = await tx.objectStore('answered').getAllKeys()
  for (const key of kept.slice(0, Math.max(0, kept.length - MOST_ANSWERED)))
    await tx.objectStore('answered').delete(key)
  await tx.done
}

const LEASE_MS = 6000

/**
 * Where the browser has no locks (without TLS): one page at a time holds a lease on sending and renews it. True for
 * the page that holds it now.
 */
export async function takeLease(db: StationStore, page: string, nowMs: number): Promise<boolean> {
  const tx = db.transaction('kept', 'readwrite')
  const lease = (await tx.store.get('lease')) as { page: string; untilMs: number } | undefined
  // a clock that was set back would hold the lease for ever
  const held = lease && lease.page !== page && lease.untilMs > nowMs && lease.untilMs - nowMs <= LEASE_MS
  if (!held) await tx.store.put({ page, untilMs: nowMs + LEASE_MS }, 'lease')
  await tx.done
  return !held
}
