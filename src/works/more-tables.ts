import type { Columns } from './column.ts'
import { readCsv } from './csv-text.ts'
import { decodeText } from './decode-text.ts'
import { checkReferences, type KnownIds } from './known-ids.ts'
import type { Notice, Problem } from './problem.ts'
import { ProblemList } from './problem-list.ts'
import { readTable, type Table } from './read-table.ts'

/** What a group of optional files says, or all that is wrong with them. */
export type MoreResult<More> =
  | { ok: true; more: More; notices: Notice[] }
  | { ok: false; problems: Problem[]; beyond: number }

/** The tables of one group of optional files of `more/`, read against what the works knows; a breach refuses them all. */
export class MoreTables<File extends string> {
  readonly problems: ProblemList
  readonly #files: ReadonlyMap<string, Uint8Array>
  readonly #known: KnownIds
  readonly #notices: Notice[] = []

  constructor(files: ReadonlyMap<string, Uint8Array>, names: readonly File[], known: KnownIds) {
    this.#files = files
    this.#known = known
    this.problems = new ProblemList(names)
  }

  /** null where the file is not there, or is no text. */
  read<T>(file: File, columns: Columns<T>): Table<T> | null {
    const bytes = this.#files.get(file)
    if (!bytes) return null
    const content = decodeText(bytes)
    if (typeof content !== 'string') {
      this.problems.add(file, content.row, null, content.wrong, content.right)
      return null
    }
    const table = readTable(file, readCsv(content), columns, true, this.problems, this.#notices)
    checkReferences(table, columns, this.#known, this.problems)
    return table
  }

  /** `moreOf` is asked only where no problem was found, so that no record lacks anything. */
  result<More>(moreOf: () => More): MoreResult<More> {
    if (this.problems.count === 0) return { ok: true, more: moreOf(), notices: this.#notices }
    const { problems, more } = this.problems.listed()
    return { ok: false, problems, beyond: more }
  }
}

/** The records of a table in which no problem was found; null for a file that is not there: not recorded. */
export function wholeRecords<T>(table: Table<T> | null): T[] | null {
  return table?.rows.map(({ record }) => record as T) ?? null
}
