import type { LengthUm } from '../quantity/length.ts'
import { chiSquareAbove } from './chi-square-distribution.ts'

export type WitnessKind = 'book' | 'counter' | 'marks' | 'weight' | 'loop' | 'reflectometry' | 'turns'

/** One measurement of a length. */
export interface Witness {
  kind: WitnessKind
  lengthUm: LengthUm
  standardUm: LengthUm
  /** How it was measured and where its uncertainty comes from, for the reader. */
  from: string
}

export interface WitnessFinding {
  /** Agreed length, without a witness that was named, and its standard uncertainty. null where there is no witness at all. */
  lengthUm: LengthUm | null
  standardUm: LengthUm | null
  /** Σ((Lᵢ − L̂)/uᵢ)² of all, with so many degrees of freedom, and how often chance alone gives more; null below two witnesses. */
  chiSquare: number | null
  freedom: number
  chance: number | null
  agree: boolean
  /** The witness that does not fit the others; null where all fit, or where nothing tells which. */
  quarrels: WitnessKind | null
  /** Where they disagree and there are three at least: the one without which the others agree best, and its odds against the next. */
  likeliest: { kind: WitnessKind; odds: number } | null
  /** How far the one that quarrels lies from what the others agree on; above nought it is longer. */
  offUm: LengthUm | null
}

/** Witnesses that agree quarrel by chance once in a hundred. */
const CHANCE = 0.01

/**
 * How much worse (in χ², that is −2 ln likelihood) the best explanation without another witness must be before one is named: 2.2 is
 * odds of 3 to 1.
 */
export const CLEARLY = 2.2

/**
 * One length from rival witnesses: mean weighted by inverse variance, u = (Σ1/uᵢ²)^−½; χ² about it tells whether they
 * agree. Where they do not, each is left out in turn: one is named where without it the others agree, and clearly better so than
 * without any other. Two that disagree name nobody. (Inverse-variance mean and the consistency test: Cox 2002, Metrologia 39,
 * 589, procedure A.)
 */
export function agreedLength(witnesses: Witness[]): WitnessFinding {
  const all = weightedMean(witnesses)
  const freedom = witnesses.length - 1
  const nothing = { quarrels: null, likeliest: null, offUm: null }
  if (!all)
    return {
      ...nothing,
      lengthUm: null,
      standardUm: null,
      chiSquare: null,
      freedom: 0,
      chance: null,
      agree: true,
    }
  const chance = freedom > 0 ? chiSquareAbove(all.chiSquare, freedom) : null
  const finding: WitnessFinding = {
    ...nothing,
    lengthUm: Math.round(all.meanUm),
    standardUm: Math.ceil(all.standardUm),
    chiSquare: freedom > 0 ? all.chiSquare : null,
    freedom,
    chance,
    agree: chance === null || chance >= CHANCE,
  }
  if (finding.agree) return finding
  const odd = oddOne(witnesses)
  const likeliest = odd && { kind: odd.witness.kind, odds: Math.exp(odd.clearance / 2) }
  if (!odd || odd.clearance < CLEARLY) {
    // Birge's ratio: the mean is as unsure as its witnesses are apart
    const apart = Math.sqrt(all.chiSquare / freedom)
    return { ...finding, likeliest, standardUm: Math.ceil(all.standardUm * apart) }
  }
  return {
    ...finding,
    lengthUm: Math.round(odd.rest.meanUm),
    standardUm: Math.ceil(odd.rest.standardUm),
    quarrels: odd.witness.kind,
    likeliest,
    offUm: Math.round(odd.witness.lengthUm - odd.rest.meanUm),
  }
}

interface Mean {
  meanUm: number
  standardUm: number
  chiSquare: number
}

function weightedMean(witnesses: Witness[]): Mean | null {
  const weights = witnesses.map((w) => 1 / w.standardUm ** 2)
  const total = weights.reduce((a, b) => a + b, 0)
  if (!(total > 0)) return null
  const meanUm = witnesses.reduce((sum, w, i) => sum + (w.lengthUm * weights[i]!) / total, 0)
  const chiSquare = witnesses.reduce((sum, w, i) => sum + (w.lengthUm - meanUm) ** 2 * weights[i]!, 0)
  return { meanUm, standardUm: 1 / Math.sqrt(total), chiSquare }
}

/** The witness without which the others agree best, and by how much χ² better than without any other; null where there are two only, or where the rest still quarrels. */
function oddOne(witnesses: Witness[]): { witness: Witness; rest: Mean; clearance: number } | null {
  if (witnesses.length < 3) return null
  const without = witnesses
    .map((witness) => ({ witness, rest: weightedMean(witnesses.filter((w) => w !== witness))! }))
    .sort((a, b) => a.rest.chiSquare - b.rest.chiSquare)
  const [best, second] = without
  if (!best || !second) return null
  if (chiSquareAbove(best.rest.chiSquare, witnesses.length - 2) < CHANCE) return null
  return { ...best, clearance: second.rest.chiSquare - best.rest.chiSquare }
}

/**
 * The least error of one witness that these would show 19 times in 20: what its own and the others' uncertainty hide. null where it stands alone.
 */
export function leastErrorFoundUm(witnesses: Witness[], kind: WitnessKind): LengthUm | null {
  const own = witnesses.find((w) => w.kind === kind)
  const rest = weightedMean(witnesses.filter((w) => w.kind !== kind))
  if (!own || !rest) return null
  // 2.576: beyond it by chance once in a hundred; 1.645: found 19 times in 20
  return Math.ceil((2.576 + 1.645) * Math.hypot(own.standardUm, rest.standardUm))
}
