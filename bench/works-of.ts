import { readWorksFolder } from '../src/server/read-works-folder.ts'
import { parseWorks } from '../src/works/parse-works.ts'
import type { Works } from '../src/works/works.ts'
import { generateWorks, LARGE, TIGHT } from './generate-works.ts'

/** The works that plans are measured on, and the seconds that planning may take on each. */
export const BENCH_SECONDS = { kelderwick: 10, tight: 10, large: 60 } as const
export type BenchWorks = keyof typeof BENCH_SECONDS

export async function worksOf(name: BenchWorks): Promise<Works> {
  if (name !== 'kelderwick') return generateWorks(name === 'tight' ? TIGHT : LARGE).works
  const { files } = await readWorksFolder('demo/kelderwick')
  const result = parseWorks('kelderwick', files)
  if (!result.ok) throw new Error(`the demo is refused: ${JSON.stringify(result.problems[0])}`)
  return result.works
}
