import type { TypeInstance } from './instance.ts'
import type { Deal } from './long-branch.ts'
import type { LongPieces } from './long-pieces.ts'
import type { PricedNear } from './long-prices.ts'

/**
 * A deal of all pieces out of the best mixture of plans: the long ones as the deal has them that has most of it, the short ones as its
 * drums have them on the mean, rounded so that no more of any are given than are wanted. What may come in parts is not dealt.
 */
export function wholeDeal(instance: TypeInstance, pieces: LongPieces, near: PricedNear): Deal {
  const drums = longItems(pieces, near)
  const means = near.most.drums.map((drum, d) =>
    meanOf(near.mixture[d]!.filter((m) => m.drum.key === drum.key)),
  )
  for (const { index, demand, split, loose } of instance.items) {
    if (pieces.holds[index] || split || loose) continue
    const shares = noMoreThan(
      demand,
      means.map((of) => of.get(index) ?? 0),
    )
    const counts = rounded(shares)
    for (const [d, counted] of drums.entries()) if (counted && counts[d]! > 0) counted.set(index, counts[d]!)
  }
  return { drums, prices: near.prices.items }
}

function meanOf(shares: PricedNear['mixture'][number]): Map<number, number> {
  const sum = shares.reduce((all, { share }) => all + share, 0)
  const mean = new Map<number, number>()
  if (sum > 0)
    for (const { drum, share } of shares)
      for (const [item, n] of drum.amounts) mean.set(item, (mean.get(item) ?? 0) + (n * share) / sum)
  return mean
}

function noMoreThan(most: number, shares: number[]): number[] {
  const sum = shares.reduce((a, b) => a + b, 0)
  return sum > most ? shares.map((s) => (s * most) / sum) : shares
}

/** Whole numbers near shares, and as many in all: what is cut off is given back to whom most was cut off. */
function rounded(shares: number[]): number[] {
  const counts = shares.map(Math.floor)
  const sum = (of: number[]) => of.reduce((a, b) => a + b, 0)
  const order = [...shares.keys()].sort((a, b) => shares[b]! - counts[b]! - (shares[a]! - counts[a]!))
  for (const d of order.slice(0, Math.round(sum(shares)) - sum(counts))) counts[d]!++
  return counts
}

/** The pieces of each kind are given out item by item, drum by drum. */
function longItems(pieces: LongPieces, { most }: PricedNear): Deal['drums'] {
  const left = new Map(pieces.kinds.flatMap((k) => k.items.map((i) => [i.index, i.demand])))
  return most.drums.map(({ choice: { at, code } }) => {
    if (!at) return null
    const counts = new Map<number, number>()
    for (const kind of pieces.kinds) {
      let count = pieces.countOf(code, kind)
      for (const { index } of kind.items) {
        const n = Math.min(count, left.get(index)!)
        if (n === 0) continue
        counts.set(index, n)
        left.set(index, left.get(index)! - n)
        count -= n
      }
    }
    return counts
  })
}
