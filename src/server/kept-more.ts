import { join } from 'node:path'
import type { BenchRecords } from '../lead/job-records.ts'
import type { LineWorks } from '../line/line-works.ts'
import { MORE_BENCH_FILES, parseMoreBench } from '../works/more-bench.ts'
import { MORE_BROKER_FILES, type MoreBrokers, parseMoreBrokers } from '../works/more-brokers.ts'
import { MORE_CHECK_FILES, type MoreChecks, parseMoreChecks } from '../works/more-checks.ts'
import { MORE_LEAD_FILES, type MoreLead, parseMoreLead } from '../works/more-lead.ts'
import { MORE_LINE_FILES, type MoreLine, parseMoreLine } from '../works/more-line.ts'
import { MORE_PRINTER_FILES, type MorePrinters, parseMorePrinters } from '../works/more-printers.ts'
import { MORE_FILES, type MoreRecords, parseMoreRecords } from '../works/more-records.ts'
import { MORE_SIGNALS_FILES, type MoreSignals, parseMoreSignals } from '../works/more-signals.ts'
import { MORE_STOCK_FILES, type MoreStock, parseMoreStock } from '../works/more-stock.ts'
import type { MoreResult } from '../works/more-tables.ts'
import type { Notice, Problem } from '../works/problem.ts'
import type { Works } from '../works/works.ts'
import { type LoadedWorks, loadWorks } from './load-works.ts'
import { type FolderContent, readRegularFile, readWorksFolder } from './read-works-folder.ts'
import { InputRefused } from './refusal.ts'

/** Every optional file that is read and kept with a works. */
export const ALL_MORE_FILES: readonly string[] = [
  ...MORE_FILES,
  ...MORE_LINE_FILES,
  ...MORE_LEAD_FILES,
  ...MORE_BENCH_FILES,
  ...MORE_CHECK_FILES,
  ...MORE_STOCK_FILES,
  ...MORE_SIGNALS_FILES,
  ...MORE_BROKER_FILES,
  ...MORE_PRINTER_FILES,
]

export function isMoreFile(name: string): boolean {
  return name.startsWith('more/')
}

/** What `more/` says, checked against the sixteen files. */
export interface MoreWorks {
  line: MoreLine
  records: MoreRecords
  lead: MoreLead
  bench: BenchRecords
  checks: MoreChecks
  stock: MoreStock
  signals: MoreSignals
  brokers: MoreBrokers
  printers: MorePrinters
}

export interface LoadedMore extends LoadedWorks {
  more: MoreWorks
}

/** A works folder with its optional files: bytes, and what stands in the way of reading one. */
export async function readWholeFolder(folder: string): Promise<FolderContent> {
  const content = await readWorksFolder(folder)
  for (const file of ALL_MORE_FILES) {
    try {
      const bytes = await readRegularFile(join(content.path, file))
      if (bytes !== null) content.files.set(file, bytes)
    } catch (error) {
      const wrong = error instanceof Error ? error.message : String(error)
      const right = 'a plain file that this user may read'
      content.problems.push({ file, row: null, column: null, wrong, right })
    }
  }
  return content
}

/** The checked works with its optional files, or a refusal: a breach in `more/` refuses the folder as a whole, too. */
export function loadWithMore(content: Pick<FolderContent, 'name' | 'files' | 'problems'>): LoadedMore {
  const loaded = loadWorks(content)
  const { more, notices } = moreWorks(content.name, content.files, loaded.works)
  return { ...loaded, more, notices: [...loaded.notices, ...notices] }
}

/** The works with all that is recorded of its lines, for their settings. */
export function recordedWorks({ works, more }: LoadedMore): Works & LineWorks {
  const cutPieces = more.records.cuts?.map(({ id, line, cutAt }) => ({ serial: id, line, at: cutAt })) ?? []
  return { ...works, ...more.line, cutPieces }
}

function moreWorks(
  name: string,
  files: ReadonlyMap<string, Uint8Array>,
  works: Works,
): { more: MoreWorks; notices: Notice[] } {
  const results: { [K in keyof MoreWorks]: MoreResult<MoreWorks[K]> } = {
    line: parseMoreLine(files, works),
    records: parseMoreRecords(files, works),
    lead: parseMoreLead(files, works),
    bench: parseMoreBench(files, works),
    checks: parseMoreChecks(files, works),
    stock: parseMoreStock(files, works),
    signals: parseMoreSignals(files, works),
    brokers: parseMoreBrokers(files),
    printers: parseMorePrinters(files, works),
  }
  const more: Partial<Record<keyof MoreWorks, unknown>> = {}
  const notices: Notice[] = []
  const problems: Problem[] = []
  let beyond = 0
  for (const [group, result] of Object.entries(results) as [keyof MoreWorks, MoreResult<unknown>][]) {
    if (result.ok) {
      more[group] = result.more
      notices.push(...result.notices)
    } else {
      problems.push(...result.problems)
      beyond += result.beyond
    }
  }
  const total = problems.length + beyond
  if (total === 0) return { more: more as MoreWorks, notices }
  throw new InputRefused(
    'folder-refused',
    `The records in more/ of ${name} are refused: ${total} ${total === 1 ? 'problem' : 'problems'}.`,
    problems,
    beyond,
  )
}
