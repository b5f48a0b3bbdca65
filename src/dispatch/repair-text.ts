import type { PlanChange } from '../plan/repair-changes.ts'

/** Lines of text that a station shows of one repair. */
const MOST_LINES = 30

/** What a repair did, in words for the floor: pieces of one order line that went the same way are one sentence. */
export function repairText(changes: PlanChange[]): string[] {
  const counts = new Map<string, { count: number; text: (count: number) => string }>()
  for (const change of paired(changes)) {
    // what stays on a drum follows from what is cut of it
    if ('putup' in change && change.putup === null) continue
    const text = sentence(change)
    const key = text(0)
    const known = counts.get(key)
    const count = 'count' in change ? change.count : 1
    counts.set(key, { count: (known?.count ?? 0) + count, text })
  }
  const all = [...counts.values()].map(({ count, text }) => text(count))
  if (all.length <= MOST_LINES) return all
  return [...all.slice(0, MOST_LINES), `and ${all.length - MOST_LINES} changes more.`]
}

/**
 * Leads that lie on the same drum in other bench lengths than before are dropped there and new there at once: to the floor
 * they lie elsewhere on it.
 */
function paired(changes: PlanChange[]): PlanChange[] {
  const left = changes.map((change) => ({ ...change }))
  const shifted: PlanChange[] = []
  for (const gone of left) {
    if (gone.kind !== 'dropped') continue
    for (const come of left) {
      if (come.kind !== 'new' || gone.count === 0 || come.count === 0) continue
      const { order, orderLine } = gone
      const alike = come.order === order && come.orderLine === orderLine
      if (!alike || come.at.drum !== gone.at.drum || come.at.line !== gone.at.line) continue
      const count = Math.min(gone.count, come.count)
      gone.count -= count
      come.count -= count
      shifted.push({ kind: 'shifted', order, orderLine, count, from: gone.at, to: come.at })
    }
  }
  return [...shifted, ...left.filter((change) => !('count' in change) || change.count > 0)]
}

function sentence(change: PlanChange): (count: number) => string {
  if ('from' in change) {
    const { from, to } = change
    const name = `${change.order}/${change.orderLine}`
    if (change.kind === 'shifted') return (n) => `${name}: ${pieces(n)} of ${to.drum} elsewhere on it.`
    return (n) => `${name}: ${pieces(n)} from ${to.drum} on ${to.line} instead of ${from.drum}.`
  }
  if ('order' in change) {
    const { order, orderLine, at } = change
    if (change.kind === 'new')
      return (n) => `${order}/${orderLine}: ${pieces(n)} more from ${at.drum} on ${at.line}.`
    return (n) => `${order}/${orderLine}: ${pieces(n)} no longer from ${at.drum}.`
  }
  if ('at' in change) {
    const { at, putup } = change
    if (change.kind === 'new remnant') return () => `A remnant is wound off ${at.drum} to ${putup}.`
    return () => `The remnant of ${at.drum} on ${putup} is not wound off as planned.`
  }
  if (change.kind === 'new mounting') return () => `${change.drum} is mounted on ${change.line}.`
  return () => `${change.drum} is no longer mounted on ${change.line}.`
}

function pieces(count: number): string {
  return count === 1 ? '1 piece' : `${count} pieces`
}
