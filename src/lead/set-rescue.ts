import { EDGE } from './set-window.ts'

/** A lead that may be made shorter: by anything while an end is open, by what a connector takes off with it once it is finished. */
export interface Trimmable {
  index: number
  /** Delay or phase as it is. */
  value: number
  /** The least that a trim takes off, in the same unit; null where it cannot be trimmed. */
  leastTrim: number | null
  /** Finished leads cost a connector, so an open one is trimmed first. */
  finished: boolean
}

export interface TrimTo {
  index: number
  /** What to take off, in the unit of the values. */
  by: number
  /** Room in the window below and above the aim. */
  below: number
  above: number
}

export interface RescuedSet {
  members: number[]
  trims: TrimTo[]
}

/**
 * Further sets out of what was left over, by making leads shorter: the window is tried at every lead as its lower edge, and takes
 * the members that cost least: as they are, then open ends by the length to take off, then new connectors. The cheapest set is
 * taken and the rest looked at again. A proposal: that no other trims give more sets is not proven.
 */
export function rescuedSets(left: Trimmable[], size: number, window: number): RescuedSet[] {
  const found: RescuedSet[] = []
  let rest = left
  for (;;) {
    const best = cheapestSet(rest, size, window)
    if (best === null) return found
    found.push(best)
    const used = new Set(best.members)
    rest = rest.filter(({ index }) => !used.has(index))
  }
}

function cheapestSet(left: Trimmable[], size: number, window: number): RescuedSet | null {
  let best: { set: RescuedSet; cost: number } | null = null
  for (const { value: from } of left) {
    const offers = left
      .flatMap((lead) => {
        const trim = trimInto(lead, from, from + window)
        return trim === null ? [] : [{ lead, trim, cost: costOf(lead, trim) }]
      })
      .sort((a, b) => a.cost - b.cost || a.lead.index - b.lead.index)
      .slice(0, size)
    if (offers.length < size) continue
    const cost = offers.reduce((sum, offer) => sum + offer.cost, 0)
    if (best && best.cost <= cost) continue
    const trims = offers.map(({ trim }) => trim).filter(({ by }) => by > 0)
    best = { set: { members: offers.map(({ lead }) => lead.index), trims }, cost }
  }
  return best?.set ?? null
}

/** A new connector counts more than any trim of an open end: this many units of length. */
const CONNECTOR_COSTS = 1e6

function costOf(lead: Trimmable, { by }: TrimTo): number {
  return by === 0 ? 0 : by + (lead.finished ? CONNECTOR_COSTS : 0)
}

/** The trim that brings a lead into a window, aimed at its middle or as near as the least trim lets it; null where none does. */
export function trimInto(lead: Trimmable, from: number, to: number): TrimTo | null {
  const { index, value, leastTrim } = lead
  if (value < from - EDGE) return null
  if (value <= to + EDGE) return { index, by: 0, below: value - from, above: to - value }
  if (leastTrim === null) return null
  const aim = Math.min((from + to) / 2, value - leastTrim)
  if (aim < from) return null
  return { index, by: value - aim, below: aim - from, above: to - aim }
}
