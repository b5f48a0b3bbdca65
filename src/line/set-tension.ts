import { LastmetreError } from '../quantity/errors.ts'
import { type LineLimit, usedLimit } from './line-limit.ts'
import { dancerRangeN } from './pull-limits.ts'
import { type KnownInputs, sourceOf } from './run-inputs.ts'

/** The tension that is set, and what sets it. */
export interface SetTension {
  tensionN: number
  /** The permitted pull is below what was wanted. */
  cut: boolean
  limits: LineLimit[]
}

/** The works' tension where the dancer can hold it and the cable may have it; else the nearest that it can hold. */
export function setTension(inputs: KnownInputs, permittedN: number | null): SetTension {
  const { leastN, mostN } = dancerRangeN(inputs)
  const held = Math.min(Math.max(inputs.tensionN, leastN), mostN)
  const cut = permittedN !== null && held > permittedN
  const tensionN = cut ? permittedN : held
  const rule = (name: string, sense: 'most' | 'least', value: number, source: string) =>
    ({ name, on: 'tension', sense, value, unit: 'N', source }) as const
  return {
    tensionN,
    cut,
    limits: [
      usedLimit(
        rule("the works' set tension", 'most', inputs.tensionN, sourceOf(inputs, 'tensionN')),
        tensionN,
        tensionN === inputs.tensionN,
      ),
      usedLimit(
        rule(
          'most that the dancer holds',
          'most',
          mostN,
          `${sourceOf(inputs, 'dancerForceMaxN')} over falls`,
        ),
        tensionN,
        tensionN === mostN && mostN !== inputs.tensionN,
      ),
      usedLimit(
        rule(
          'least that the dancer holds',
          'least',
          leastN,
          `${sourceOf(inputs, 'dancerForceMinN')} over falls`,
        ),
        tensionN,
        tensionN === leastN && leastN !== inputs.tensionN,
      ),
    ],
  }
}

export function notPossible(
  where: string,
  by: string,
  tensionN: number,
  permittedN: number | null,
): LastmetreError {
  const pull = permittedN === null ? '' : ` of at most ${Math.round(permittedN * 10) / 10} N permitted`
  return new LastmetreError(
    'figure-refused',
    `${where}: a tension of ${Math.round(tensionN * 10) / 10} N${pull} leaves nothing for a ramp (${by}): set a lower tension (tensionN; cables.csv line_tension_n) or use a line whose dancer holds less.`,
  )
}
