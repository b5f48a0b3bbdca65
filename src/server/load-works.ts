import { parseWorks } from '../works/parse-works.ts'
import type { Notice, Problem } from '../works/problem.ts'
import type { Works } from '../works/works.ts'
import { MAX_PROBLEMS } from '../works/works-files.ts'
import type { FolderContent } from './read-works-folder.ts'
import { InputRefused } from './refusal.ts'

export interface LoadedWorks {
  works: Works
  notices: Notice[]
}

/** The checked works of what was read, or a refusal with every problem. */
export function loadWorks(content: Pick<FolderContent, 'name' | 'files' | 'problems'>): LoadedWorks {
  const result = parseWorks(content.name, content.files)
  if (result.ok && content.problems.length === 0) return result
  // A file that could not be read was named with its reason; that it is missing as well says nothing new.
  const unread = new Set(content.problems.map((problem) => problem.file))
  const parsed: Problem[] = result.ok ? [] : result.problems
  const problems = [...content.problems, ...parsed.filter((p) => !(unread.has(p.file) && p.row === null))]
  const more = (result.ok ? 0 : result.more) + Math.max(0, problems.length - MAX_PROBLEMS)
  const total = Math.min(problems.length, MAX_PROBLEMS) + more
  throw new InputRefused(
    'folder-refused',
    `The works folder ${content.name} is refused: ${total} ${total === 1 ? 'problem' : 'problems'}.`,
    problems.slice(0, MAX_PROBLEMS),
    more,
  )
}
