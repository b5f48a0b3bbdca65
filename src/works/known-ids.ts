import type { PlanInput } from '../plan/plan-input.ts'
import type { Column, Columns } from './column.ts'
import { type ProblemList, shown } from './problem-list.ts'
import { memberOf } from './read-json-file.ts'
import type { Table } from './read-table.ts'

/** Ids by the file that defines them; null where the file could not be read whole, so that nothing is said to be missing from it. */
export type KnownIds = Map<string, ReadonlySet<string> | null>

const IDS = {
  'lines.json': ({ site }: PlanInput) => site.lines.map(({ id }) => id),
  'cables.csv': ({ cables }: PlanInput) => cables.map(({ cable }) => cable),
  'drums.csv': ({ drums }: PlanInput) => drums.map(({ drum }) => drum),
  'putups.csv': ({ putups }: PlanInput) => putups.map(({ putup }) => putup),
  'connectors.csv': ({ connectors }: PlanInput) => connectors.map(({ part }) => part),
}

/** What a checked works has in these files. */
export function idsOf(works: PlanInput, ...files: (keyof typeof IDS)[]): KnownIds {
  return new Map(files.map((file) => [file, new Set(IDS[file](works))]))
}

/** Reports every key that is there twice, and returns the row of each. `keyOf` is undefined where a part could not be read. */
export function uniqueRows<T>(
  table: Table<T>,
  column: string,
  what: string,
  keyOf: (record: Partial<T>) => string | undefined,
  problems: ProblemList,
): Map<string, number> {
  const rows = new Map<string, number>()
  for (const { row, record } of table.rows) {
    const key = keyOf(record)
    if (key === undefined) continue
    const first = rows.get(key)
    if (first === undefined) rows.set(key, row)
    else
      problems.add(table.file, row, column, `${shown(key)} is in row ${first} already`, `each ${what} once`)
  }
  return rows
}

/** Several values as one key; undefined where one of them could not be read. The separator cannot stand in an id. */
export function joined(...parts: (string | number | undefined)[]): string | undefined {
  return parts.includes(undefined) ? undefined : parts.join(' / ')
}

/** Every id of the table that is not where it must be. */
export function checkReferences<T>(
  table: Table<T>,
  columns: Columns<T>,
  known: KnownIds,
  problems: ProblemList,
): void {
  for (const key of Object.keys(columns) as (keyof T & string)[]) {
    const column = columns[key] as Column<unknown>
    const ids = column.refersTo === null ? null : known.get(column.refersTo)
    if (!ids) continue
    for (const { row, record } of table.rows) {
      const value = record[key]
      if (typeof value !== 'string' || ids.has(value)) continue
      problems.add(table.file, row, column.name, ...missing(value, column.refersTo!, ids))
    }
  }
}

/** What is wrong and what would be right where an id is not among those of a file. */
export function missing(id: string, file: string, ids: ReadonlySet<string>): [wrong: string, right: string] {
  const near = lowerCase(ids).get(id.toLowerCase())
  const hint = near === undefined ? '' : `; ${shown(near)} is (upper and lower case differ)`
  return [`${shown(id)} is not in ${file}${hint}`, `an id of ${file}`]
}

/** Made once for each set, and only when an id is missing. */
const LOWER = new WeakMap<ReadonlySet<string>, Map<string, string>>()

function lowerCase(ids: ReadonlySet<string>): Map<string, string> {
  let lower = LOWER.get(ids)
  if (!lower) {
    lower = new Map([...ids].map((id) => [id.toLowerCase(), id]))
    LOWER.set(ids, lower)
  }
  return lower
}

/** The ids of a list in a JSON file, as far as it holds any; null where it is no list. */
export function idsInList(raw: unknown, key: string): Set<string> | null {
  const list = memberOf(raw, key)
  if (!Array.isArray(list)) return null
  const ids = new Set<string>()
  for (const item of list) {
    const id = memberOf(item, 'id')
    if (typeof id === 'string') ids.add(id)
  }
  return ids
}

/** Reports ids that a list holds twice. */
export function checkListIds(file: string, raw: unknown, key: string, problems: ProblemList): void {
  const list = memberOf(raw, key)
  if (!Array.isArray(list)) return
  const first = new Map<string, number>()
  for (const [i, item] of list.entries()) {
    const id = memberOf(item, 'id')
    if (typeof id !== 'string') continue
    const at = first.get(id)
    if (at === undefined) first.set(id, i)
    else
      problems.add(
        file,
        null,
        `${key}[${i}].id`,
        `${shown(id)} is the id of ${key}[${at}] already`,
        'each id once',
      )
  }
}
