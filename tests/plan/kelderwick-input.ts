import { parseWorks } from '../../src/works/parse-works.ts'
import type { Works } from '../../src/works/works.ts'
import { kelderwickFiles } from '../works/kelderwick-files.ts'

/** The demo works, a copy of its own for each caller. */
export function kelderwick(): Works {
  const result = parseWorks('kelderwick', kelderwickFiles())
  if (!result.ok) throw new Error(JSON.stringify(result.problems[0]))
  return structuredClone(result.works)
}
