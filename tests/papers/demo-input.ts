import type { PlanInput } from '../../src/plan/plan-input.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { parseWorks } from '../../src/works/parse-works.ts'

/** The demo works. */
export async function demoInput(): Promise<PlanInput> {
  const { files } = await readWorksFolder('demo/kelderwick')
  const result = parseWorks('kelderwick', files)
  if (!result.ok) throw new Error(JSON.stringify(result.problems[0]))
  return result.works
}
