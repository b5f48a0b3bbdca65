import type {
  AsideRow,
  CheckRow,
  ComplaintRow,
  DrumRow,
  FaultRow,
  HeadRow,
  LotRow,
  MovementRow,
  PieceRow,
  StretchRow,
  StripRow,
} from './state-rows.ts'

/** Rows by key that remember which of them were changed since they were loaded. */
export class StateTable<Row> {
  readonly #rows = new Map<string, Row>()
  readonly #changed = new Set<string>()

  get(key: string): Row | undefined {
    return this.#rows.get(key)
  }

  /** Takes a row as it is stored; no change. */
  load(key: string, row: Row): void {
    this.#rows.set(key, row)
  }

  put(key: string, row: Row): void {
    this.#rows.set(key, row)
    this.#changed.add(key)
  }

  rows(): IterableIterator<Row> {
    return this.#rows.values()
  }

  changed(): Row[] {
    return [...this.#changed].map((key) => this.#rows.get(key) as Row)
  }
}

/**
 * The present state, or the part of it that a command concerns: whoever stores it loads what a command names
 * (with its strip, the strip's stretches and drums) and writes back what was changed.
 */
export class LedgerState {
  readonly strips = new StateTable<StripRow>()
  /** By strip, in order of `fromUm`. */
  readonly stretches = new StateTable<StretchRow[]>()
  readonly drums = new StateTable<DrumRow>()
  readonly faults = new StateTable<FaultRow>()
  readonly pieces = new StateTable<PieceRow>()
  readonly lots = new StateTable<LotRow>()
  readonly checks = new StateTable<CheckRow>()
  readonly complaints = new StateTable<ComplaintRow>()
  readonly asides = new StateTable<AsideRow>()
  /** New ones only; they are never changed. */
  readonly movements: MovementRow[] = []
  head: HeadRow = { seq: 0, hash: NO_HASH, given: {}, releasedPlan: null, releasedSeq: null }
}

/** What stands for the hash before the first event. */
export const NO_HASH = '0'.repeat(64)
