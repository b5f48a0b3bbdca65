import type { LengthUm } from '../quantity/length.ts'
import type { SoftFault } from './drum-model.ts'
import type { Item } from './item.ts'

/** Pieces of one kind; of those that some items of it may hold a fault with, all are taken to. */
export interface BesidePieces {
  items: Item[]
  lengthUm: LengthUm
  count: number
}

/** Whether pieces that may not hold a fault have room before and after it. */
export function liesBeside({ beforeUm, afterUm, allowed }: SoftFault, pieces: BesidePieces[]): boolean {
  const barred = pieces.filter(({ items }) => items.every((item) => !allowed[item.index]))
  const allUm = barred.reduce((sum, { lengthUm, count }) => sum + lengthUm * count, 0)
  const splits = (n: number, leftUm: LengthUm): boolean => {
    // all others after it
    if (allUm - (beforeUm - leftUm) <= afterUm) return true
    const next = barred[n]
    if (!next) return false
    for (let k = Math.min(next.count, Math.floor(leftUm / next.lengthUm)); k >= 0; k--)
      if (splits(n + 1, leftUm - k * next.lengthUm)) return true
    return false
  }
  return splits(0, beforeUm)
}
