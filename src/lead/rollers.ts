import type { CableType } from '../cable/cable-type.ts'
import type { Putup } from '../putup/putup.ts'
import type { Roller } from './pitch.ts'

/**
 * Everything of a works that comes round with the cable: the rollers of lines.json, and the barrels and coils of putups.csv, whose first
 * turn takes between π·B and π·(B + OD) of cable.
 */
export function rollersOf(
  circumferencesM: Readonly<Record<string, number>>,
  putups: Putup[],
  cable: Pick<CableType, 'odMm'>,
): Roller[] {
  const rollers = Object.entries(circumferencesM).map(([name, m]) => ({ name, fromM: m, toM: m }))
  const barrels = putups.map(({ putup, kind, barrelMm }) => ({
    name: `${kind === 'coil' ? 'inside of coil' : 'barrel of'} ${putup}`,
    fromM: (Math.PI * barrelMm) / 1_000,
    toM: (Math.PI * (barrelMm + cable.odMm)) / 1_000,
  }))
  return [...rollers, ...barrels]
}
