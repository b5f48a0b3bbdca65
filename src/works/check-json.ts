import { checkListIds, idsInList, type KnownIds, missing } from './known-ids.ts'
import type { Notice } from './problem.ts'
import { type ProblemList, shown } from './problem-list.ts'
import { memberOf } from './read-json-file.ts'
import type { Table } from './read-table.ts'

/** Checks of the JSON files against themselves and the tables; `raw` is what stands in the file, sound or not. */

export function checkLines(raw: unknown, known: KnownIds, problems: ProblemList): void {
  checkListIds('lines.json', raw, 'lines', problems)
  const putups = known.get('putups.csv')
  const lines = memberOf(raw, 'lines')
  if (!putups || !Array.isArray(lines)) return
  for (const [i, line] of lines.entries()) {
    const list = memberOf(line, 'takeup_putups')
    if (!Array.isArray(list)) continue
    for (const [j, putup] of list.entries())
      if (typeof putup === 'string' && !putups.has(putup))
        problems.add(
          'lines.json',
          null,
          `lines[${i}].takeup_putups[${j}]`,
          ...missing(putup, 'putups.csv', putups),
        )
  }
}

export function checkBenches(raw: unknown, siteRaw: unknown, problems: ProblemList): void {
  checkListIds('benches.json', raw, 'benches', problems)
  checkListIds('benches.json', raw, 'people', problems)
  const lines = idsInList(siteRaw, 'lines')
  const oven = memberOf(memberOf(siteRaw, 'oven'), 'id')
  const benches = memberOf(raw, 'benches')
  const people = memberOf(raw, 'people')
  if (!lines || !Array.isArray(benches) || !Array.isArray(people)) return
  const tasks = new Map<unknown, unknown>()
  for (const bench of benches) tasks.set(memberOf(bench, 'id'), memberOf(bench, 'can'))
  for (const [i, person] of people.entries()) {
    const skills = memberOf(person, 'skills')
    if (!Array.isArray(skills)) continue
    for (const [j, skill] of skills.entries()) {
      if (typeof skill !== 'string') continue
      const [place, task] = skill.split(':')
      const path = `people[${i}].skills[${j}]`
      if (!lines.has(place!) && place !== oven && !tasks.has(place))
        problems.add(
          'benches.json',
          null,
          path,
          `${shown(skill)} names no line, oven or bench`,
          'an id of lines.json or of benches',
        )
      else if (task !== undefined && !can(tasks.get(place), task))
        problems.add(
          'benches.json',
          null,
          path,
          `${shown(place!)} has no task ${shown(task)}`,
          'a task that the bench can do',
        )
    }
  }
}

function can(tasks: unknown, task: string): boolean {
  return Array.isArray(tasks) && tasks.includes(task)
}

/** Every cable has its prices; a price for what is no cable is harmless and only shown. */
export function checkPrices(
  raw: unknown,
  cables: ReadonlySet<string> | null,
  problems: ProblemList,
  notices: Notice[],
): void {
  if (!cables || raw === null || typeof raw !== 'object') return
  for (const key of ['list_price_eur_m', 'material_cost_eur_m']) {
    const prices = memberOf(raw, key)
    if (prices === null || typeof prices !== 'object') continue
    for (const cable of cables)
      if (!Object.hasOwn(prices, cable))
        problems.add(
          'costs.json',
          null,
          `${key}.${cable}`,
          'is missing',
          'a number of at least 0 for every cable',
        )
    for (const cable of Object.keys(prices)
      .filter((name) => !cables.has(name))
      .slice(0, 50)) {
      const text = `${shown(cable)} is no cable of cables.csv; its price is ignored.`
      notices.push({ file: 'costs.json', row: null, column: `${key}.${cable}`, text, kind: 'unknown-column' })
    }
  }
}

/** The ids that tables and JSON files define, for the references of others. */
export function idsOf<T>(table: Table<T>, key: keyof T): ReadonlySet<string> | null {
  const ids = new Set<string>()
  for (const { record } of table.rows) {
    const id = record[key]
    if (typeof id === 'string') ids.add(id)
  }
  return table.whole && ids.size > 0 ? ids : null
}

export function keysOf(raw: unknown): ReadonlySet<string> | null {
  return raw !== null && typeof raw === 'object' && !Array.isArray(raw) ? new Set(Object.keys(raw)) : null
}
