import { leastDeviations, median, robustSd } from './robust.ts'

/** How a cable builds up on its put-up, learned from counter and turns alone. */
export interface LayerBuild {
  /** Length of a turn of the first layer, m. */
  firstTurnM: number
  /** By how much a turn of each further layer is longer, m; 0 where only one layer was seen. */
  stepM: number
  /** Turns since the start of the put-up at which each further layer begins. */
  boundaries: number[]
  /** Length of a turn of each layer as it was wound, m: the build, and what this layer departs from it. */
  turnM: number[]
  /** Standard deviation of the layers' own departures from the build, as a ratio. */
  layerSdRatio: number
  /** Turns of a layer and part of one before the record begins, as searched. */
  pattern: { size: number; phase: number }
}

/** What layers depart by where too few were seen to tell, and the least that is believed. Estimates. */
const FEW_LAYERS_SD = 0.001
const LEAST_LAYER_SD = 0.0003

/** Turns by which a layer may begin before or after its place in the row. Estimate. */
const MOST_ASTRAY = 0.75

interface Bin {
  turn: number
  turns: number
  perTurnM: number
}

/** Turns that a bin holds at least: a reading of ±0.001 turn then matters little beside a layer's step. */
const BIN_TURNS = 0.5
const MOST_BINS = 700
/** A layer may depart from the build by so much: more is no layer but a slip. Estimate. */
const MOST_OFF = 0.003

/**
 * Layers of a winding by fit. Within a layer each turn is of one length; each further layer adds 2π·h·OD, h being the
 * works' layer factor (the layer sum of the works folder contract, putup_rules). How many turns a layer has and where
 * in a layer the record begins are searched, length and step are fitted with least absolute deviations, so that a slip
 * of the counter does not bend the build; a layer's own small departure is then taken from its own turns. null with
 * fewer than four turns. `known` saves the search where the same turns are looked at again.
 */
export function layerBuild(
  turns: ArrayLike<number>,
  travelM: ArrayLike<number>,
  odMm: number,
  layerFactor: number,
  known: LayerBuild | null = null,
): LayerBuild | null {
  const bins = binsOf(turns, travelM)
  if (bins.length < 8) return null
  const expectedM = (2 * Math.PI * layerFactor * odMm) / 1000
  const first = bins[0]!.turn - bins[0]!.turns / 2
  const best = known
    ? fitted(bins, first, known.pattern.size, known.pattern.phase, expectedM)
    : searched(bins, first, expectedM)
  return finalFit(bins, settled(best, turns, travelM), expectedM, { size: best.size, phase: best.phase })
}

/** One layer only, or layers of whatever size and phase fit clearly better. */
function searched(bins: Bin[], first: number, expectedM: number): Fit {
  const total = bins.at(-1)!.turn + bins.at(-1)!.turns / 2 - first
  let best = fitted(bins, first, Number.POSITIVE_INFINITY, 0, expectedM)
  const search = (size: number, phase: number, gain: number) => {
    const tried = fitted(bins, first, size, phase, expectedM)
    if (tried.cost < gain * best.cost) best = tried
  }
  for (let size = 2; size < total; size *= 1.02)
    for (let part = 0; part < 8; part++) search(size, (size * part) / 8, best.boundaries.length ? 1 : 0.9)
  if (best.boundaries.length > 0) {
    const { size, phase } = best
    for (let k = -12; k <= 12; k++)
      for (let part = -3; part <= 3; part++)
        search(size * (1 + k / 600), Math.max(0, phase + (size * part) / 32), 1)
  }
  return best
}

function binsOf(turns: ArrayLike<number>, travelM: ArrayLike<number>): Bin[] {
  const size = Math.min(turns.length, travelM.length)
  const total = size > 0 ? turns[size - 1]! - turns[0]! : 0
  const width = Math.max(BIN_TURNS, total / MOST_BINS)
  const bins: Bin[] = []
  let from = 0
  for (let i = 1; i < size; i++) {
    const gone = turns[i]! - turns[from]!
    if (gone < width) continue
    bins.push({
      turn: (turns[i]! + turns[from]!) / 2,
      turns: gone,
      perTurnM: (travelM[i]! - travelM[from]!) / gone,
    })
    from = i
  }
  return bins
}

interface Fit {
  size: number
  phase: number
  firstTurnM: number
  stepM: number
  boundaries: number[]
  cost: number
}

/** Least squares, then once more with far bins weighing less; cost is the sum of absolute departures. */
function fitted(bins: Bin[], first: number, size: number, phase: number, expectedM: number): Fit {
  let level = 0
  let step = 0
  for (let round = 0; round < 3; round++) {
    let w = 0
    let k1 = 0
    let k2 = 0
    let q = 0
    let kq = 0
    for (const bin of bins) {
      const layer = Math.floor((bin.turn - first + phase) / size)
      const rest = bin.perTurnM - level - step * layer
      const weight = round === 0 ? bin.turns : bin.turns / Math.max(Math.abs(rest), 0.05 * expectedM)
      w += weight
      k1 += weight * layer
      k2 += weight * layer * layer
      q += weight * bin.perTurnM
      kq += weight * layer * bin.perTurnM
    }
    const spread = k2 - (k1 * k1) / w
    step = spread > 1e-9 * w ? within((kq - (k1 * q) / w) / spread, expectedM) : 0
    level = (q - step * k1) / w
  }
  let cost = 0
  for (const bin of bins) {
    const layer = Math.floor((bin.turn - first + phase) / size)
    cost += bin.turns * Math.abs(bin.perTurnM - level - step * layer)
  }
  const boundaries: number[] = []
  const last = bins.at(-1)!.turn
  for (let at = first - phase + size; at < last; at += size) boundaries.push(at)
  return { size, phase, firstTurnM: level, stepM: step, boundaries, cost }
}

/** Nested layers are lower, √3/2 of the diameter; loose ones a little higher than it. */
function within(stepM: number, expectedM: number): number {
  return Math.min(1.15 * expectedM, Math.max(0.75 * expectedM, stepM))
}

/** Each boundary where the turns on both sides of it fit best, within a fifth of a layer. */
function settled(found: Fit, turns: ArrayLike<number>, travelM: ArrayLike<number>): number[] {
  const reach = 0.2 * found.size
  const own = found.boundaries.map((boundary, k) => {
    const below = found.firstTurnM + found.stepM * k
    const above = below + found.stepM
    let at = -1
    let sum = 0
    let least = Number.POSITIVE_INFINITY
    for (let i = lowerIndex(turns, boundary - reach) + 1; i < turns.length; i++) {
      if (turns[i - 1]! > boundary + reach) break
      if (sum < least) {
        least = sum
        at = i - 1
      }
      const gone = turns[i]! - turns[i - 1]!
      const length = travelM[i]! - travelM[i - 1]!
      sum += Math.abs(length - below * gone) - Math.abs(length - above * gone)
    }
    return at < 0 ? boundary : between(turns, travelM, turns[at]!, below, above)
  })
  // layers of one traverse have about the same turns: what strays further from the row has been drawn there by a slip
  if (own.length < 3) return own
  const columns = [own.map(() => 1), own.map((_, k) => k)]
  const [first = 0, size = 0] = leastDeviations(own, columns, 0.1)
  return own.map((at, k) =>
    Math.min(first + size * k + MOST_ASTRAY, Math.max(first + size * k - MOST_ASTRAY, at)),
  )
}

/** Where the boundary lies between two samples: the length of the turns about it, below·(b − n₁) + above·(n₂ − b), solved for b. */
function between(
  turns: ArrayLike<number>,
  travelM: ArrayLike<number>,
  at: number,
  below: number,
  above: number,
): number {
  const i = lowerIndex(turns, at - 1)
  const k = Math.min(turns.length - 1, lowerIndex(turns, at + 1) + 1)
  const length = travelM[k]! - travelM[i]!
  const exact = (above * turns[k]! - below * turns[i]! - length) / (above - below)
  return Math.min(at + 0.4, Math.max(at - 0.4, exact))
}

/** Index of the last entry not above the value; 0 where there is none. */
function lowerIndex(rising: ArrayLike<number>, value: number): number {
  let [low, high] = [0, rising.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if (rising[middle]! <= value) low = middle + 1
    else high = middle
  }
  return Math.max(0, low - 1)
}

function layerAt(boundaries: number[], turn: number): number {
  let layer = 0
  while (layer < boundaries.length && turn >= boundaries[layer]!) layer++
  return layer
}

function finalFit(
  bins: Bin[],
  boundaries: number[],
  expectedM: number,
  pattern: LayerBuild['pattern'],
): LayerBuild {
  const whole = bins.filter(
    (bin) => layerAt(boundaries, bin.turn - bin.turns / 2) === layerAt(boundaries, bin.turn + bin.turns / 2),
  )
  const used = whole.length >= 4 ? whole : bins
  const layers = used.map((bin) => layerAt(boundaries, bin.turn))
  const lengths = used.map((bin) => bin.perTurnM)
  const ones = used.map(() => 1)
  const columns = boundaries.length > 0 ? [ones, layers] : [ones]
  const [level = 0, slope = 0] = leastDeviations(lengths, columns, 0.01 * expectedM)
  const stepM = boundaries.length > 0 ? within(slope, expectedM) : 0
  const firstTurnM = stepM === slope ? level : median(lengths.map((length, i) => length - stepM * layers[i]!))
  const turnM = Array.from({ length: boundaries.length + 1 }, (_, layer) => {
    const inBuild = firstTurnM + stepM * layer
    const own = lengths.filter((_length, i) => layers[i] === layer)
    const off = own.length < 4 ? 0 : median(own) - inBuild
    return inBuild + Math.min(MOST_OFF * inBuild, Math.max(-MOST_OFF * inBuild, off))
  })
  const departures = turnM.map((length, layer) => length / (firstTurnM + stepM * layer) - 1)
  const layerSdRatio = turnM.length < 4 ? FEW_LAYERS_SD : Math.max(LEAST_LAYER_SD, robustSd(departures))
  return { firstTurnM, stepM, boundaries, turnM, layerSdRatio, pattern }
}

/** Length wound up to a turn, m; only differences mean something. */
export function woundM({ boundaries, turnM }: LayerBuild, turn: number): number {
  let length = turnM[0]! * turn
  for (const [k, boundary] of boundaries.entries())
    if (turn > boundary) length += (turnM[k + 1]! - turnM[k]!) * (turn - boundary)
  return length
}
