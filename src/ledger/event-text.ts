import type { LedgerEvent } from './event.ts'

/**
 * The text of an event that is hashed: JSON of all its fields but the hash, without spaces, keys of every object in order
 * of their UTF-16 code units (as RFC 8785 §3.2.3 orders them). The same event is the same text, however it was stored.
 */
export function eventText(event: Omit<LedgerEvent, 'hash'>): string {
  const { seq, key, at, bookedAt, actor, sentBy, station, planId, corrects, body, previousHash } = event
  return canonical({ seq, key, at, bookedAt, actor, sentBy, station, planId, corrects, body, previousHash })
}

/** JSON of a value with the keys of every object in order; fields that are undefined are left out, as JSON does. */
export function canonical(value: unknown): string {
  if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? 'null'
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`
  const fields: string[] = []
  const record = value as Record<string, unknown>
  for (const key of Object.keys(record).sort())
    if (record[key] !== undefined) fields.push(`${JSON.stringify(key)}:${canonical(record[key])}`)
  return `{${fields.join(',')}}`
}
