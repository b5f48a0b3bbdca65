import type { Quarrel, Slip } from './slip.ts'
import { fused, LEAST_M, measuredSlip, type Window, windingSd } from './slip-size.ts'
import type { PieceSpan } from './travel.ts'
import { type Witnesses, windowSd } from './witness.ts'

/** Lengths of window looked at, in steps: from a jerk to half a minute at 10 Hz. */
const WINDOWS = [3, 6, 12, 25, 50, 100, 200]
/**
 * How many standard deviations make a slip. Some ten thousand windows are looked at in a run of 2,000 m, and winding is
 * not quite normal: 5.5 of the two together and 2.5 of each kept false alarms below one run in a hundred in simulation.
 */
const SURE = { fused: 5.5, each: 2.5, alone: 8, agree: 3.5 }
/** Two witnesses that differ by more are reported as a quarrel, m. */
const QUARREL_M = 0.1

/** So many samples after a start and before an end a witness alone is not asked: lags and the dancer's swing tell nothing of slip there. */
const EDGE = 10

export interface SlipSearch {
  slips: Slip[]
  quarrels: Quarrel[]
}

/** Looks for stretches in which the counter differs from take-up turns and payoff, both the same way by the same amount. */
export function findSlips(found: Witnesses, travelM: Float64Array, piece: PieceSpan): SlipSearch {
  const search: SlipSearch = { slips: [], quarrels: [] }
  const { turns, payoff } = found
  const first = turns ?? payoff
  if (!first) return search
  const edge = turns && payoff ? 0 : EDGE
  const seeds: Window[] = []
  const odd: Record<'take-up' | 'payoff', Window[]> = { 'take-up': [], payoff: [] }
  for (const steps of WINDOWS) {
    if (steps * 2 > first.missedM.length) break
    const sdTurns = turns ? windowSd(turns, steps) : Number.POSITIVE_INFINITY
    const sdPayoff = payoff ? windowSd(payoff, steps) : Number.POSITIVE_INFINITY
    for (let from = edge; from + steps <= first.missedM.length - edge; from++) {
      const to = from + steps
      const t = turns ? turns.sums[to]! - turns.sums[from]! : null
      const p = payoff ? payoff.sums[to]! - payoff.sums[from]! : null
      // a layer may be a little longer than the build says; as long as the dancer moves, the payoff says less
      const sdT = turns ? Math.hypot(sdTurns, windingSd(turns, travelM, piece.from, from, to)) : sdTurns
      const moved = found.storedM ? found.storedM[to]! - found.storedM[from]! : 0
      const sdP = Math.hypot(sdPayoff, moved)
      const what = judge(t, sdT, p, sdP)
      if (what === null) continue
      const window = { from, to, sign: Math.sign((t ?? 0) / sdT + (p ?? 0) / sdP) }
      if (what === 'slip') seeds.push(window)
      else odd[what].push(window)
    }
  }
  const measure = (region: Window) => measuredSlip(region, turns, payoff, travelM, piece.from)
  search.slips = apart(merged(seeds).flatMap((region) => slipsWithin(region, seeds, measure, piece.from)))
  const clear = (w: Window) =>
    !search.slips.some((s) => w.from + piece.from <= s.to + 20 && w.to + piece.from >= s.from - 20)
  for (const kind of ['take-up', 'payoff'] as const)
    for (const w of merged(odd[kind].filter(clear))) {
      const witness = (kind === 'take-up' ? turns : payoff)!
      const missedM = witness.sums[w.to]! - witness.sums[w.from]!
      const uncertaintyM = windowSd(witness, Math.min(w.to - w.from, witness.missedM.length >> 1))
      search.quarrels.push({ kind, from: piece.from + w.from, to: piece.from + w.to, missedM, uncertaintyM })
    }
  return search
}

/** One window: the counter slipped, a witness is odd, or nothing. */
function judge(
  t: number | null,
  sdT: number,
  p: number | null,
  sdP: number,
): 'slip' | 'take-up' | 'payoff' | null {
  if (t === null || p === null) {
    const [value, sd] = t === null ? [p ?? 0, sdP] : [t, sdT]
    return Math.abs(value) > SURE.alone * sd && Math.abs(value) > 2 * LEAST_M ? 'slip' : null
  }
  const [scoreT, scoreP] = [Math.abs(t) / sdT, Math.abs(p) / sdP]
  const distance = Math.abs(t - p) / Math.hypot(sdT, sdP)
  const { value, sd } = fused(t, sdT, p, sdP)
  const together = t * p > 0 && (distance < SURE.agree || Math.abs(t - p) < 0.2 * Math.abs(value))
  if (
    together &&
    scoreT > SURE.each &&
    scoreP > SURE.each &&
    Math.abs(value) > Math.max(SURE.fused * sd, LEAST_M)
  )
    return 'slip'
  if (distance < SURE.fused) return null
  if (scoreT > SURE.alone && scoreP < SURE.each && Math.abs(t) > QUARREL_M) return 'take-up'
  if (scoreP > SURE.alone && scoreT < SURE.each && Math.abs(p) > QUARREL_M) return 'payoff'
  return null
}

/** Windows of one sign that overlap are one region. */
function merged(windows: Window[]): Window[] {
  const regions: Window[] = []
  for (const sign of [1, -1]) {
    let last: Window | null = null
    for (const window of windows.filter((w) => w.sign === sign).sort((a, b) => a.from - b.from)) {
      if (last && window.from <= last.to) last.to = Math.max(last.to, window.to)
      else {
        last = { ...window }
        regions.push(last)
      }
    }
  }
  return regions.sort((a, b) => a.from - b.from)
}

/** The surest slip of a region; what windows lie wholly before or behind it may hold others. */
function slipsWithin(
  region: Window,
  seeds: Window[],
  measure: (region: Window) => Slip | null,
  offset: number,
): Slip[] {
  const slip = measure(region)
  if (!slip) return []
  const [from, to] = [slip.from - offset, slip.to - offset]
  const rest = (low: number, high: number) => {
    // what lies beside the slip is less than the region, or it is looked at for ever
    if (high - low >= region.to - region.from) return []
    const inside = seeds.filter((w) => w.sign === region.sign && w.from >= low && w.to <= high)
    return merged(inside).flatMap((part) => slipsWithin(part, inside, measure, offset))
  }
  return [...rest(region.from, from), slip, ...rest(to, region.to)]
}

/** Of slips that overlap the surest stands. */
function apart(slips: Slip[]): Slip[] {
  const bySureness = [...slips].sort(
    (a, b) => Math.abs(b.missedM) / b.uncertaintyM - Math.abs(a.missedM) / a.uncertaintyM,
  )
  const kept: Slip[] = []
  for (const slip of bySureness)
    if (kept.every((other) => slip.to <= other.from || slip.from >= other.to)) kept.push(slip)
  return kept.sort((a, b) => a.from - b.from)
}
