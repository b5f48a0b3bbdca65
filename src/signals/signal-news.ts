import type { SignalQuantity } from '../works/more-signals.ts'

/** One reading of a device, in the unit of its quantity. Times are ms since 1970 UTC. */
export interface SignalSample {
  line: string
  /** host:port, with the unit id where it has one: what has one clock. */
  device: string
  quantity: SignalQuantity
  value: number
  /** By the device's clock; null where it sends no time. */
  sourceMs: number | null
  /** By our clock: when a message came, or the middle of question and answer. */
  arrivalMs: number
  /** The broker had kept it from before we came: its arrival says nothing. */
  retained: boolean
}

/** The one stream that every protocol is made into. */
export type SignalNews =
  | { kind: 'sample'; sample: SignalSample }
  | { kind: 'connected'; line: string; device: string; atMs: number }
  | { kind: 'disconnected'; line: string; device: string; atMs: number; why: string }
  /** Something came that is no value. */
  | {
      kind: 'unreadable'
      line: string
      device: string
      quantity: SignalQuantity
      atMs: number
      why: string
    }
  /** More came than could be taken; the oldest went. */
  | { kind: 'dropped'; line: string; device: string; quantity: SignalQuantity; atMs: number; count: number }

/** Reads one device until it is stopped; never writes to it. */
export interface SignalReader {
  stop(): Promise<void>
}
