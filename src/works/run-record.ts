import type { CableType } from '../cable/cable-type.ts'
import type { WorksSite } from '../hall/works-site.ts'
import type { RunSample } from '../line/run-sample.ts'
import { checkRun } from './check-records.ts'
import { readCsv } from './csv-text.ts'
import { decodeText } from './decode-text.ts'
import { checkReferences } from './known-ids.ts'
import type { Problem } from './problem.ts'
import { ProblemList } from './problem-list.ts'
import { readTable } from './read-table.ts'
import { RUN_COLUMNS } from './records-csv.ts'

export type RunRecord = { ok: true; samples: RunSample[] } | { ok: false; problems: Problem[]; more: number }

/** A recorded run from a file of its own, of the form and strictness of line_run.csv; `file` is the name that problems bear. */
export function readRunRecord(
  file: string,
  bytes: Uint8Array,
  works: { site: Pick<WorksSite, 'lines'>; cables: CableType[] },
): RunRecord {
  const problems = new ProblemList([file])
  const text = decodeText(bytes)
  if (typeof text !== 'string') {
    problems.add(file, text.row, null, text.wrong, text.right)
    return { ok: false, ...problems.listed() }
  }
  const table = readTable(file, readCsv(text), RUN_COLUMNS, false, problems, [])
  checkRun(table, problems)
  const known = new Map([
    ['lines.json', new Set(works.site.lines.map(({ id }) => id))],
    ['cables.csv', new Set(works.cables.map(({ cable }) => cable))],
  ])
  checkReferences(table, RUN_COLUMNS, known, problems)
  if (problems.count > 0) return { ok: false, ...problems.listed() }
  return { ok: true, samples: table.rows.map(({ record }) => record as RunSample) }
}
