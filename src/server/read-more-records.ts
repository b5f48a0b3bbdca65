import { join } from 'node:path'
import type { BenchRecords } from '../lead/job-records.ts'
import { MORE_BENCH_FILES, parseMoreBench } from '../works/more-bench.ts'
import { MORE_LEAD_FILES, type MoreLead, parseMoreLead } from '../works/more-lead.ts'
import { MORE_LINE_FILES, type MoreLine, parseMoreLine } from '../works/more-line.ts'
import { MORE_FILES, type MoreRecords, parseMoreRecords } from '../works/more-records.ts'
import type { MoreResult } from '../works/more-tables.ts'
import type { Notice, Problem } from '../works/problem.ts'
import type { Works } from '../works/works.ts'
import { readRegularFile } from './read-works-folder.ts'
import { InputRefused } from './refusal.ts'

/** The optional records of a works folder, checked against it; a file that is not there is not recorded. */
export async function readMoreRecords(
  folder: string,
  name: string,
  works: Works,
): Promise<{ more: MoreRecords; notices: Notice[] }> {
  return readMore(folder, name, MORE_FILES, (files) => parseMoreRecords(files, works))
}

/** The optional files on the lines. */
export async function readMoreLine(
  folder: string,
  name: string,
  works: Works,
): Promise<{ more: MoreLine; notices: Notice[] }> {
  return readMore(folder, name, MORE_LINE_FILES, (files) => parseMoreLine(files, works))
}

/** The optional files on leads. */
export async function readMoreLead(
  folder: string,
  name: string,
  works: Works,
): Promise<{ more: MoreLead; notices: Notice[] }> {
  return readMore(folder, name, MORE_LEAD_FILES, (files) => parseMoreLead(files, works))
}

/** The optional files on the bench of leads. */
export async function readMoreBench(
  folder: string,
  name: string,
  works: Works,
): Promise<{ more: BenchRecords; notices: Notice[] }> {
  return readMore(folder, name, MORE_BENCH_FILES, (files) => parseMoreBench(files, works))
}

async function readMore<More>(
  folder: string,
  name: string,
  wanted: readonly string[],
  parse: (files: ReadonlyMap<string, Uint8Array>) => MoreResult<More>,
): Promise<{ more: More; notices: Notice[] }> {
  const files = new Map<string, Uint8Array>()
  const unread: Problem[] = []
  for (const file of wanted) {
    try {
      const bytes = await readRegularFile(join(folder, file))
      if (bytes !== null) files.set(file, bytes)
    } catch (error) {
      const wrong = error instanceof Error ? error.message : String(error)
      unread.push({ file, row: null, column: null, wrong, right: 'a plain file that this user may read' })
    }
  }
  const result = parse(files)
  if (result.ok && unread.length === 0) return result
  const problems = [...unread, ...(result.ok ? [] : result.problems)]
  const beyond = result.ok ? 0 : result.beyond
  const total = problems.length + beyond
  throw new InputRefused(
    'folder-refused',
    `The records in more/ of ${name} are refused: ${total} ${total === 1 ? 'problem' : 'problems'}.`,
    problems,
    beyond,
  )
}
