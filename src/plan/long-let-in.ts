import type { LongPieces } from './long-pieces.ts'
import type { LongWay } from './long-stretch.ts'

/** Choices of long pieces that a drum may still be given, and the least units in no piece that each is with. */
export class LetIn {
  readonly pieces: LongPieces
  /** null for all. */
  readonly #least: ReadonlyMap<number, number> | null
  /** Whether less in no piece is not always as good, since some choice is let in only with units of it. */
  readonly counts: boolean

  /** `codes`: null for all. */
  constructor(pieces: LongPieces, codes: ReadonlySet<number> | null) {
    this.pieces = pieces
    this.#least = codes && pieces.leastUnused(codes)
    this.counts = this.#least !== null && [...this.#least.values()].some((units) => units > 0)
  }

  get all(): boolean {
    return this.#least === null
  }

  /** Choices of pieces, however much is in no piece. */
  get size(): number {
    return this.#least?.size ?? this.pieces.codes
  }

  /** Least units in no piece that a choice of pieces is let in with; null where it is not. */
  leastOf(choice: number): number | null {
    return this.#least ? (this.#least.get(choice) ?? null) : 0
  }

  /** Whether what is given out in one of so many stretches may be a part of one of these choices. */
  within(stretches: number): (way: Pick<LongWay, 'code' | 'bits'>) => boolean {
    const least = this.#least
    if (!least) return () => true
    if (stretches === 1) return ({ code }) => least.has(code)
    const whole = [...least.keys()].map((code) => this.pieces.bitsOf(code))
    return ({ bits }) => whole.some((all) => this.pieces.within(bits, all))
  }
}
