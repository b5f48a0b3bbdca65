/** The put-ups wanted in one stretch, and the put-up that a rest is wound off to at its inner end. */
export interface StretchPutups {
  groups: number[]
  after: number | null
}

/**
 * Fewest changes of put-up along a drum. A wind-off books its own minutes, so only the change from it to the next piece counts.
 * `before` is the put-up that the mounting stands on already. Exact: of the put-ups that each stretch may end with only those
 * reached with fewest changes matter, since one change more leads anywhere.
 */
export function fewestChanges(stretches: readonly StretchPutups[], before: number | null): number {
  let ends: readonly number[] | null = before === null ? null : [before]
  let changes = 0
  for (const { groups, after } of stretches) {
    if (groups.length > 0) {
      let goOn = 0
      for (const g of groups) if (!ends || ends.includes(g)) goOn++
      changes += groups.length - (goOn > 0 ? 1 : 0)
      // the only one that goes on comes first, and so not last
      const oneFirst = goOn === 1 && groups.length > 1
      ends = oneFirst ? groups.filter((g) => !ends?.includes(g)) : groups
    }
    if (after !== null) ends = [after]
  }
  return changes
}

/**
 * Orders the put-ups within each stretch of a drum, outermost first, so that as few changes as possible are needed
 * along the whole drum; among equals the more urgent come first. Exact: a shortest path over (stretch, last put-up).
 */
export function orderPutups(
  stretches: readonly StretchPutups[],
  dueOf: (group: number) => string,
  before: number | null,
): number[][] {
  type State = { last: number | null; changes: number; sequences: number[][] }
  let states: State[] = [{ last: before, changes: 0, sequences: [] }]
  for (const stretch of stretches) {
    const groups = byUrgency(stretch.groups, dueOf)
    const next = new Map<number | null, State>()
    for (const state of states)
      for (const sequence of sequencesOf(groups, state.last)) {
        const first = sequence[0] ?? state.last
        const another = state.last !== null && first !== state.last
        const changes = state.changes + Math.max(0, sequence.length - 1) + (another ? 1 : 0)
        const end = stretch.after ?? sequence[sequence.length - 1] ?? state.last
        const found = next.get(end)
        if (!found || changes < found.changes)
          next.set(end, { last: end, changes, sequences: [...state.sequences, sequence] })
      }
    states = [...next.values()]
  }
  return states.reduce((a, b) => (b.changes < a.changes ? b : a)).sequences
}

function byUrgency(groups: number[], dueOf: (group: number) => string): number[] {
  return groups.length < 2 ? groups : [...groups].sort((a, b) => dueOf(a).localeCompare(dueOf(b)) || a - b)
}

/** For each put-up that could stand last: the given order with it moved last, and the one that continues `last` moved first. */
function sequencesOf(groups: number[], last: number | null): number[][] {
  if (groups.length <= 1) return [groups]
  // the least urgent stands last where that costs no more, so it is tried first
  return [...groups].reverse().map((end) => {
    const others = groups.filter((g) => g !== end)
    const first = last !== null && others.includes(last) ? [last] : []
    return [...first, ...others.filter((g) => !first.includes(g)), end]
  })
}
