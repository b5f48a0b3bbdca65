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

  /** The same rows in a table of its own, none of them changed. */
  copy(): StateTable<Row> {
    const table = new StateTable<Row>()
    for (const [key, row] of this.#rows) table.load(key, row)
    return table
  }
}

/**
 * The present state, or the part of it that a command concerns: whoever stores it loads what a command names
 * (with its strip, the strip's stretches and drums) and writes back what was changed.
 */
export class LedgerState {
  readonly strips: StateTable<StripRow>
  /** By strip, in order of `fromUm`. */
  readonly stretches: StateTable<StretchRow[]>
  readonly drums: StateTable<DrumRow>
  readonly faults: StateTable<FaultRow>
  readonly pieces: StateTable<PieceRow>
  readonly lots: StateTable<LotRow>
  readonly checks: StateTable<CheckRow>
  readonly complaints: StateTable<ComplaintRow>
  readonly asides: StateTable<AsideRow>
  /** New ones only; they are never changed. */
  readonly movements: MovementRow[] = []
  head: HeadRow

  /** `from`: begins as a copy of this state, which is left as it is by whatever is applied to the new one. */
  constructor(from: LedgerState | null = null) {
    this.strips = from?.strips.copy() ?? new StateTable()
    this.stretches = from?.stretches.copy() ?? new StateTable()
    this.drums = from?.drums.copy() ?? new StateTable()
    this.faults = from?.faults.copy() ?? new StateTable()
    this.pieces = from?.pieces.copy() ?? new StateTable()
    this.lots = from?.lots.copy() ?? new StateTable()
    this.checks = from?.checks.copy() ?? new StateTable()
    this.complaints = from?.complaints.copy() ?? new StateTable()
    this.asides = from?.asides.copy() ?? new StateTable()
    this.head = from?.head ?? { ...NOTHING }
  }
}

/** What stands for the hash before the first event. */
export const NO_HASH = '0'.repeat(64)

const NOTHING: HeadRow = { seq: 0, hash: NO_HASH, given: {}, releasedPlan: null, releasedSeq: null }
