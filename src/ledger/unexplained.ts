import { normalBelow } from '../measure/normal-distribution.ts'
import { CLEARLY } from '../measure/witness.ts'
import { groupBy } from '../quantity/group-by.ts'
import { CHANCE_LIMIT } from './balance.ts'
import { byStrip, type StockDifference, type StripFacts } from './movement-sum.ts'

export type PatternKind = 'line' | 'type' | 'shift'

/** Strips whose differences have a line, a cable type or a shift in common. */
export interface Pattern {
  kind: PatternKind
  name: string
  strips: number
  /** Found less book, all of them. */
  um: number
  /** Mean of the differences in their own standard deviations, times the root of their number. */
  z: number
  /** How often chance alone makes as much, all the looks that were taken being counted. */
  chance: number
}

export interface UnexplainedFinding {
  /** All looks, the least likely by chance first. */
  looks: Pattern[]
  /** What stands out and explains most; more than one where the records cannot tell them apart. Empty: nothing stands out. */
  named: Pattern[]
  /** One sentence: what it points to and what to do. */
  says: string
}

/** A check of the mark scale or the mass per metre of a cable type. */
export interface TypeCheck {
  cable: string
  check: string
  /** The works' day, YYYY-MM-DD. */
  day: string
  passed: boolean
}

/** Fewer strips than this make no pattern: a choice of this program, no source. */
const LEAST_STRIPS = 3

const POINTS_TO: Record<PatternKind, (name: string) => string> = {
  line: (name) => `the length counter of ${name}: check it with the tape`,
  type: (name) => `the mark scale or the mass per metre of ${name}: tape a piece and weigh it`,
  shift: (name) => `how the ${name} shift books: look through its records`,
}

/**
 * Whether what is unexplained has something in common. For each line, cable type and shift z = Σ(dᵢ/uᵢ)/√n of its strips (Stouffer and
 * others 1949: sums of standard scores), two-sided, and Holm's step-down procedure over all looks (Holm 1979, Scand. J. Statist. 6,
 * 65): the more one looks, the more must be seen. A bias that grows with the length shows alike on long and short strips, since
 * u grows with the length too. `typeChecks`, oldest first: the newest of a type that is named is told beside it.
 */
export function unexplainedPattern(
  differences: StockDifference[],
  strips: ReadonlyMap<string, StripFacts>,
  typeChecks: readonly TypeCheck[] = [],
): UnexplainedFinding {
  const looks = holm([
    ...looksOf('line', differences, strips, (d) => d.line),
    ...looksOf('type', differences, strips, (d) => d.cable),
    ...looksOf('shift', differences, strips, (d) => d.shift),
  ])
  const standOut = looks.filter((p) => p.chance < CHANCE_LIMIT)
  const most = Math.max(0, ...standOut.map((p) => p.z ** 2))
  const named = standOut.filter((p) => most - p.z ** 2 < CLEARLY).sort((a, b) => b.z ** 2 - a.z ** 2)
  const checked = named.flatMap(({ kind, name }) => {
    const last = kind === 'type' && typeChecks.findLast((c) => c.cable === name)
    return last ? [checkedText(last)] : []
  })
  const says = [sentence(differences.length, looks.length, named), ...checked].join(' ')
  return { looks, named, says }
}

function looksOf(
  kind: PatternKind,
  differences: StockDifference[],
  strips: ReadonlyMap<string, StripFacts>,
  nameOf: (d: StockDifference) => string | null,
): Pattern[] {
  return [...groupBy(differences, nameOf)].flatMap(([name, of]) => {
    if (name === null) return []
    const found = byStrip(of, strips).filter((d) => d.uncUm > 0)
    if (found.length < LEAST_STRIPS) return []
    const z = found.reduce((sum, d) => sum + d.um / d.uncUm, 0) / Math.sqrt(found.length)
    const um = found.reduce((sum, d) => sum + d.um, 0)
    return [{ kind, name, strips: found.length, um, z, chance: 2 * normalBelow(-Math.abs(z)) }]
  })
}

/** Holm: the k-th smallest of m chances is multiplied by m − k + 1, and none may be below the one before it. */
function holm(looks: Pattern[]): Pattern[] {
  let least = 0
  return [...looks]
    .sort((a, b) => a.chance - b.chance)
    .map((look, i, all) => {
      least = Math.max(least, Math.min(1, look.chance * (all.length - i)))
      return { ...look, chance: least }
    })
}

function sentence(differences: number, looks: number, named: Pattern[]): string {
  if (differences === 0) return 'No drum was measured or counted anew, so nothing can come to light.'
  if (looks === 0)
    return `Too few drums were measured anew to see a pattern: ${LEAST_STRIPS} of one line, type or shift are needed.`
  const [first, ...others] = named
  if (!first) return 'Nothing stands out: no line, type or shift differs by more than chance makes of it.'
  const way = first.um < 0 ? 'less' : 'more'
  const points = POINTS_TO[first.kind](first.name)
  if (others.length === 0) return `There is ${way} than the books say, and it points to ${points}.`
  const rest = others.map((p) => POINTS_TO[p.kind](p.name)).join('; or to ')
  return `There is ${way} than the books say. It points to ${points}; or to ${rest}. The records cannot tell these apart.`
}

function checkedText({ cable, check, day, passed }: TypeCheck): string {
  return `Mark scale or mass of ${cable} was last checked on ${day} (${check}): it ${passed ? 'held' : 'did not hold'}.`
}
