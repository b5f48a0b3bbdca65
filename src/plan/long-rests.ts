import type { LengthUm } from '../quantity/length.ts'
import type { UnusedUnits } from './long-pieces.ts'

/** Cells that are looked at together first. */
export const BLOCK_BITS = 4
export const BLOCK = 1 << BLOCK_BITS

/** Cells filled, `from` so many `to` so many, that leave as many units of clean length in no piece. */
interface UnusedRun {
  unused: number
  from: number
  to: number
}

/** What a rest of a stretch is worth, by cells filled, and which numbers of these may be. */
export interface Rest {
  micro: Float64Array
  /** The most of each block of cells. */
  blocks: Float64Array
  /** In order. */
  runs: UnusedRun[]
}

/** Where the drum is stopped in a stretch, and where it is passed. */
export interface Rests {
  stop: Rest
  pass: Rest
}

/** `unusedUm`: by cells filled, the least clean length that is then in no piece. */
export function restOf(
  micro: Float64Array,
  { unitUm, most }: UnusedUnits,
  unusedUm: (cells: number) => LengthUm,
): Rest {
  const blocks = new Float64Array((micro.length >> BLOCK_BITS) + 1).fill(Number.NEGATIVE_INFINITY)
  const runs: UnusedRun[] = []
  for (let x = 0; x < micro.length; x++) {
    blocks[x >> BLOCK_BITS] = Math.max(blocks[x >> BLOCK_BITS]!, micro[x]!)
    const unused = Math.max(0, Math.floor(unusedUm(x) / unitUm))
    if (unused > most || micro[x] === Number.NEGATIVE_INFINITY) continue
    const run = runs.at(-1)
    if (run?.unused === unused && run.to === x - 1) run.to = x
    else runs.push({ unused, from: x, to: x })
  }
  return { micro, blocks, runs }
}
