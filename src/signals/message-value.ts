import type { MqttSignal } from '../works/more-signals.ts'
import { atPointer } from './json-pointer.ts'

/** A message larger than this is no reading of a line. */
const MAX_MESSAGE_BYTES = 16 * 1024

/** Up to here a bare number is seconds since 1970, beyond it milliseconds: the year 5138 in one, 1973 in the other. */
const MOST_SECONDS = 1e11

export type MessageValue = { value: number; sourceMs: number | null } | { wrong: string }

/** What a message says of one signal: a number, a text that is one, true or false; or why it says nothing. */
export function valueOfMessage(payload: Uint8Array, signal: MqttSignal): MessageValue {
  if (payload.length > MAX_MESSAGE_BYTES) return { wrong: `holds ${payload.length} bytes` }
  let parsed: unknown
  try {
    parsed = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(payload))
  } catch {
    return { wrong: 'is no JSON' }
  }
  const value = numberOf(atPointer(parsed, signal.pointer))
  if (value === null) return { wrong: `has no number at ${signal.pointer || 'its top'}` }
  if (!Number.isFinite(value * signal.scale)) return { wrong: 'has a number that is out of range' }
  if (signal.timePointer === null) return { value: value * signal.scale, sourceMs: null }
  const sourceMs = timeOf(atPointer(parsed, signal.timePointer))
  if (sourceMs === null) return { wrong: `has no time at ${signal.timePointer}` }
  return { value: value * signal.scale, sourceMs }
}

function numberOf(at: unknown): number | null {
  if (typeof at === 'boolean') return at ? 1 : 0
  if (typeof at === 'string' && /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?$/.test(at)) return Number(at)
  return typeof at === 'number' ? at : null
}

function timeOf(at: unknown): number | null {
  if (typeof at === 'string' && /^\d{4}-\d{2}-\d{2}T[\d:.]+(?:Z|[+-]\d{2}:\d{2})$/.test(at)) {
    const ms = Date.parse(at)
    return Number.isNaN(ms) ? null : ms
  }
  const time = numberOf(at)
  if (time === null || typeof at === 'boolean' || !(time > 0)) return null
  const ms = time <= MOST_SECONDS ? time * 1000 : time
  return ms <= 8.64e15 ? ms : null
}
