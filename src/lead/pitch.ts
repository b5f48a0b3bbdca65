import { LIGHT_SPEED_M_S } from '../cable/constants.ts'

/** A part of a line that comes round with the cable: a roller, a capstan, the barrel of a drum. */
export interface Roller {
  name: string
  /** Smallest and largest length of cable that one turn takes, m. */
  fromM: number
  toM: number
}

/** A defect that comes back along the line at even distances. */
export interface PeriodicDefect {
  pitchM: number
  /** Half width within which the pitch lies: velocity spread and width of the spikes. */
  plusMinusM: number
  /** Spikes of return loss that belong to it, MHz. */
  spikesMhz: number[]
  /** Rollers and barrels of this circumference; `marks`: how many marks one turn of it leaves. */
  matches: { name: string; marks: number }[]
}

/** Odds at which roughness or noise alone may be taken for a spike in one whole sweep. */
const FALSE_ALARM = 1e-3

/** A weaker spike than this return loss harms nobody, dB. */
const QUIETEST_DB = 50

/** Fewer turns than this in a length are no period. */
const FEWEST_TURNS = 4

/** One turn may carry several equal marks; more than this is not looked for. */
const MOST_MARKS = 4

/**
 * Equal small faults at a pitch p add up in phase where p is n half waves: spikes at f = n·c·v/(2p) (Bragg's condition for a line; common
 * practice of the trade). `sizes` is the reflection of the line alone over frequency, its connectors gated out.
 */
export function findPeriodicDefect(
  fHz: Float64Array,
  sizes: Float64Array,
  line: { velocity: number; velocitySpreadPct: number; lengthM: number },
  rollers: Roller[],
): PeriodicDefect | null {
  const halfWaveHz = (line.velocity * LIGHT_SPEED_M_S) / 2
  const widthHz = halfWaveHz / line.lengthM
  const spikes = findSpikes(fHz, sizes, widthHz)
  if (spikes.length === 0) return null
  const baseHz = commonBase(spikes, widthHz)
  if (baseHz === null || halfWaveHz / baseHz > line.lengthM / FEWEST_TURNS) return null
  const own = spikes.filter((spike) => isMultiple(spike.fHz, baseHz, widthHz))
  const refinedHz = refined(own, baseHz)
  const pitchM = halfWaveHz / refinedHz
  const highest = Math.max(...own.map((spike) => Math.round(spike.fHz / refinedHz)))
  const share = Math.hypot(line.velocitySpreadPct / 100, widthHz / 2 / (highest * refinedHz))
  const plusMinusM = pitchM * share
  return {
    pitchM,
    plusMinusM,
    spikesMhz: own.map((spike) => spike.fHz / 1e6).sort((a, b) => a - b),
    matches: matching(rollers, pitchM, plusMinusM),
  }
}

interface Spike {
  fHz: number
  size: number
}

function findSpikes(fHz: Float64Array, sizes: Float64Array, widthHz: number): Spike[] {
  const stepHz = (fHz.at(-1)! - fHz[0]!) / (fHz.length - 1)
  const floor = runningMedian(sizes, Math.max(31, Math.ceil((12 * widthHz) / stepHz)))
  const spikes: Spike[] = []
  const factor = spikeFactor(sizes.length)
  const least = 10 ** (-QUIETEST_DB / 20)
  for (let i = 1; i < sizes.length - 1; i++) {
    if (sizes[i]! < Math.max(least, factor * floor[i]!)) continue
    if (sizes[i]! < sizes[i - 1]! || sizes[i]! <= sizes[i + 1]!) continue
    spikes.push({ fHz: fHz[i]!, size: sizes[i]! })
  }
  // side lobes of a spike stand beside it: the largest within two widths is the spike
  return spikes
    .filter((s) => !spikes.some((o) => o.size > s.size && Math.abs(o.fHz - s.fHz) < 4 * widthHz))
    .sort((a, b) => b.size - a.size)
    .slice(0, 40)
}

/**
 * How many times the median a spike must be. The size of many small random reflections follows Rayleigh's law: it is above r medians with
 * probability 2^(−r²), so in n points r = √(log2(n/odds)); 5 (14 dB) for 20 000 points. Two connectors alone reach 3 dB.
 */
function spikeFactor(points: number): number {
  return Math.sqrt(Math.log2(points / FALSE_ALARM))
}

/** Median over blocks, straight between their middles: enough for a floor under spikes, and quick. */
function runningMedian(values: Float64Array, block: number): Float64Array {
  const hop = Math.max(1, Math.floor(block / 2))
  const middles: { at: number; median: number }[] = []
  for (let from = 0; from < values.length; from += hop) {
    const part = values.slice(from, Math.min(values.length, from + block)).sort()
    middles.push({ at: from + part.length / 2, median: part[Math.floor(part.length / 2)]! })
  }
  const out = new Float64Array(values.length)
  let k = 0
  for (let i = 0; i < values.length; i++) {
    while (k < middles.length - 2 && middles[k + 1]!.at < i) k++
    const low = middles[k]!
    const high = middles[Math.min(k + 1, middles.length - 1)]!
    const share = high.at === low.at ? 0 : Math.min(1, Math.max(0, (i - low.at) / (high.at - low.at)))
    out[i] = low.median + share * (high.median - low.median)
  }
  return out
}

/** How many of the strongest spikes must belong to one base: those within 10 dB of the strongest. */
function commonBase(spikes: Spike[], widthHz: number): number | null {
  const strongest = spikes[0]!
  const strong = spikes.filter((spike) => spike.size > strongest.size / 3.16)
  for (let n = 1; n <= 60; n++) {
    const baseHz = strongest.fHz / n
    if (baseHz < 4 * widthHz) return null
    if (strong.every((spike) => isMultiple(spike.fHz, baseHz, widthHz))) return baseHz
  }
  return null
}

function isMultiple(fHz: number, baseHz: number, widthHz: number): boolean {
  const n = Math.round(fHz / baseHz)
  return n > 0 && Math.abs(fHz - n * baseHz) <= widthHz
}

/** Least squares of f = n·base, so that the highest spikes say most. */
function refined(own: Spike[], baseHz: number): number {
  let nn = 0
  let nf = 0
  for (const { fHz } of own) {
    const n = Math.round(fHz / baseHz)
    nn += n * n
    nf += n * fHz
  }
  return nf / nn
}

function matching(rollers: Roller[], pitchM: number, plusMinusM: number): PeriodicDefect['matches'] {
  const found: PeriodicDefect['matches'] = []
  for (let marks = 1; marks <= MOST_MARKS; marks++)
    for (const { name, fromM, toM } of rollers)
      if (fromM <= marks * (pitchM + plusMinusM) && toM >= marks * (pitchM - plusMinusM))
        found.push({ name, marks })
  return found
}
