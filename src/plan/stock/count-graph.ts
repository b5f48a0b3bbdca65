import { CountStates } from './count-states.ts'
import type { CountedKinds } from './counted-kinds.ts'
import type { CountedStretch, StretchCounts, StretchTargets } from './counted-stretch.ts'

/** Counts of one stretch, and counts that one pass keeps: some ten megabytes. */
const MOST_OF_A_STRETCH = 100_000
const MOST_KEPT = 500_000

export interface CountedStock {
  stretches: CountedStretch[]
  /** What staying closed, and being opened, costs more than the lesser of both. Infinity where it may not be. */
  closedSlack: number
  openSlack: number
}

/** From one place to the next: a stretch gives a count, or a stock is opened, ended or left closed. */
interface Way extends StretchCounts {
  from: number
  to: number
  stock: number
  /** −1 where it is no stretch. */
  stretch: number
}

/** The least slack of each count at each place, coming from the first place or from the last one. */
interface Pass {
  forward: boolean
  kindsCounted: number
  ways: Way[]
  states: CountStates[]
}

export interface LeastCounts {
  /** No counts that come out as wanted have less slack; Infinity where none lie within the budget. */
  slack: number
  targets: StretchTargets | null
}

/**
 * All stretches one after the other, and the counts that those passed have given: which way through has least slack and gives just what is
 * wanted? Kinds are counted a few at first and then one more each time, from alternating ends: what the pass before found for fewer kinds
 * says how much slack the rest of the way takes at least, and what goes beyond the budget with it is dropped.
 */
export class CountGraph {
  readonly #stocks: readonly CountedStock[]
  readonly #counted: CountedKinds
  readonly #budget: number
  #stepsLeft: number

  /** Takes no more than so many steps. */
  constructor(stocks: readonly CountedStock[], counted: CountedKinds, budget: number, steps: number) {
    this.#stocks = stocks
    this.#counted = counted
    this.#budget = budget
    this.#stepsLeft = steps
  }

  /** `first`: kinds counted at first. Null when even those are too much to count. */
  least(first: number): LeastCounts | null {
    let pass: Pass | null = null
    let slack = 0
    for (let kindsCounted = first; kindsCounted <= this.#counted.kinds.length; kindsCounted++) {
      const next = this.#pass(kindsCounted, pass)
      if (next === null) break
      pass = next
      slack = this.#end(pass).slackOf(this.#full(kindsCounted))
      if (slack > this.#budget) return { slack: Number.POSITIVE_INFINITY, targets: null }
    }
    return pass && { slack, targets: this.#targets(pass) }
  }

  #pass(kindsCounted: number, before: Pass | null): Pass | null {
    const ways = this.#ways(kindsCounted)
    if (ways === null) return null
    const forward = !before?.forward
    const places = ways.reduce((most, way) => Math.max(most, way.to), 0) + 1
    const states = Array.from({ length: places }, () => new CountStates())
    states[forward ? 0 : places - 1]!.offer(this.#counted.start & this.#full(kindsCounted), 0)
    const pass = { forward, kindsCounted, ways, states }
    let kept = 0
    for (const way of forward ? ways : ways.toReversed()) {
      const to = forward ? way.to : way.from
      if (!this.#go(states[forward ? way.from : way.to]!, way, states[to]!, before, to)) return null
      kept += states[to]!.size
      if (kept > MOST_KEPT) return null
    }
    return pass
  }

  /** Goes a way with every count; false when there were too many steps. */
  #go(from: CountStates, way: Way, to: CountStates, before: Pass | null, place: number): boolean {
    const { counts, slacks } = way
    const { carries } = this.#counted
    const rest = before?.states[place]
    const full = before ? this.#full(before.kindsCounted) : 0
    const opposite = full + (this.#counted.start & full)
    for (let at = 0; at < from.size; at++) {
      const key = from.keys[at]!
      const slack = from.slacks[at]!
      const most = this.#budget - slack
      let q = 0
      for (; q < counts.length && slacks[q]! <= most; q++) {
        const sum = key + counts[q]!
        // a carry into the bit above a field: more than is wanted
        if (((key ^ counts[q]! ^ sum) & carries) !== 0) continue
        if (rest && rest.slackOf(opposite - (sum & full)) > most - slacks[q]!) continue
        to.offer(sum, slack + slacks[q]!)
      }
      this.#stepsLeft -= q
      if (this.#stepsLeft < 0) return false
    }
    return true
  }

  /** All ways in the order of their places, with the counts of the first kinds; null when there are too many. */
  #ways(kindsCounted: number): Way[] | null {
    const ways: Way[] = []
    let place = 0
    for (let stock = 0; stock < this.#stocks.length; stock++) {
      const { stretches, openSlack, closedSlack } = this.#stocks[stock]!
      const end = place + stretches.length + 2
      if (openSlack <= this.#budget) {
        ways.push({ from: place, to: place + 1, stock, stretch: -1, ...alone(openSlack) })
        for (let stretch = 0; stretch < stretches.length; stretch++) {
          const found = stretches[stretch]!.counts(kindsCounted, this.#budget, MOST_OF_A_STRETCH)
          if (found === null) return null
          ways.push({ from: place + stretch + 1, to: place + stretch + 2, stock, stretch, ...found })
        }
        ways.push({ from: end - 1, to: end, stock, stretch: -1, ...alone(0) })
      }
      if (closedSlack <= this.#budget)
        ways.push({ from: place, to: end, stock, stretch: -1, ...alone(closedSlack) })
      place = end
    }
    return ways
  }

  #full(kindsCounted: number): number {
    return (1 << this.#counted.shifts[kindsCounted]!) - 1
  }

  #end({ forward, states }: Pass): CountStates {
    return states[forward ? states.length - 1 : 0]!
  }

  /** Goes back from the end of a pass to what each stretch gave. */
  #targets(pass: Pass): StretchTargets {
    const targets: StretchTargets = this.#stocks.map(() => [])
    const { forward, states, kindsCounted, ways } = pass
    let place = forward ? states.length - 1 : 0
    let key = this.#full(kindsCounted)
    let slack = this.#end(pass).slackOf(key)
    for (const way of forward ? ways.toReversed() : ways) {
      if ((forward ? way.to : way.from) !== place) continue
      const earlier = forward ? way.from : way.to
      const q = way.counts.findIndex(
        (count, k) =>
          ((key ^ count ^ (key - count)) & this.#counted.carries) === 0 &&
          states[earlier]!.slackOf(key - count) + way.slacks[k]! === slack,
      )
      if (q < 0) continue
      place = earlier
      key -= way.counts[q]!
      slack -= way.slacks[q]!
      if (way.stretch < 0) continue
      const stretch = this.#stocks[way.stock]!.stretches[way.stretch]!
      targets[way.stock]![way.stretch] = stretch.target(kindsCounted, way.counts[q]!)
    }
    return targets
  }
}

/** A way that gives nothing. */
function alone(slack: number): StretchCounts {
  return { counts: Int32Array.of(0), slacks: Float64Array.of(slack) }
}
