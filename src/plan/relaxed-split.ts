import type { Item } from './item.ts'
import type { Offered, Taken } from './stretch-fill.ts'

/** A choice of what a drum's filling may hold. */
export interface RelaxedNode {
  /** Put-ups that are paid for and then free; the others cost a change where they are used. */
  paid: Set<number>
  barred: Set<number>
  /** Most copies of an item in one stretch, by `stretch:item`. */
  caps: Map<string, number>
}

/** The choice that branching leaves. */
export function rootOf(putups: ReadonlyMap<number, boolean>): RelaxedNode {
  const paid = new Set<number>()
  const barred = new Set<number>()
  for (const [putup, used] of putups) (used ? paid : barred).add(putup)
  return { paid, barred, caps: new Map() }
}

/** What the choice still lets lie in a stretch; in all of them together where `stretch` is null. */
export function within(offered: Offered[], node: RelaxedNode, stretch: number | null): Offered[] {
  if (node.barred.size === 0 && (stretch === null || node.caps.size === 0)) return offered
  const kept: Offered[] = []
  for (const o of offered) {
    if (node.barred.has(o.group)) continue
    const cap = stretch === null ? undefined : node.caps.get(`${stretch}:${o.item}`)
    if (cap === undefined || cap >= o.cap) kept.push(o)
    else if (cap > 0) kept.push({ ...o, cap })
  }
  return kept
}

/** Splits on a put-up that is used without being paid in full, else on an item that the stretches give more of than is wanted. */
export function childrenOf(
  node: RelaxedNode,
  taken: Taken[][],
  items: Item[],
  demand: Float64Array,
): RelaxedNode[] {
  const group = openGroupOf(taken.flat(), node.paid)
  if (group !== null)
    return [
      { ...node, paid: new Set(node.paid).add(group) },
      { ...node, barred: new Set(node.barred).add(group) },
    ]
  for (const item of items) {
    if (item.split || item.loose) continue
    const counts = taken.map((stretch) =>
      stretch.reduce((sum, t) => sum + (t.item === item.index ? t.count : 0), 0),
    )
    const wanted = demand[item.index]!
    if (counts.reduce((a, b) => a + b, 0) <= wanted + 1e-6) continue
    // either the stretch with most of it gives no more than its part, or each of the others gives no more than is left then
    const most = counts.indexOf(Math.max(...counts))
    const nextMost = Math.max(...counts.filter((_, k) => k !== most))
    const leastPart = Math.max(0, Math.floor(wanted - nextMost + 1e-9))
    const mostPart = Math.ceil(counts[most]! - 1e-9) - 1
    if (leastPart > mostPart) continue
    const part = Math.floor((leastPart + mostPart) / 2)
    const capped = (caps: [number, number][]) => {
      const next = new Map(node.caps)
      for (const [stretch, cap] of caps) {
        const key = `${stretch}:${item.index}`
        next.set(key, Math.min(cap, next.get(key) ?? Number.POSITIVE_INFINITY))
      }
      return { ...node, caps: next }
    }
    const others = counts.flatMap((_, k): [number, number][] => (k === most ? [] : [[k, wanted - part - 1]]))
    return [capped([[most, part]]), capped(others)]
  }
  return []
}

/** The put-up that lies in most pieces without being paid for. */
function openGroupOf(taken: Taken[], paid: Set<number>): number | null {
  const lengths = new Map<number, number>()
  for (const t of taken)
    if (!paid.has(t.group)) lengths.set(t.group, (lengths.get(t.group) ?? 0) + t.count * t.cutUm)
  let most = 0
  let group: number | null = null
  for (const [g, length] of lengths)
    if (length > most) {
      most = length
      group = g
    }
  return group
}
