import type { LineWorks } from '../../src/line/line-works.ts'
import type { Plan } from '../../src/plan/plan.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { parseWorks } from '../../src/works/parse-works.ts'
import type { Works } from '../../src/works/works.ts'
import { greedyPlan } from '../papers/greedy-plan.ts'

/** The demo works with a plan that fills each drum from the outer end. Invented data. */
export async function demoLine(): Promise<{ works: Works & LineWorks; plan: Plan }> {
  const { files } = await readWorksFolder('demo/kelderwick')
  const result = parseWorks('kelderwick', files)
  if (!result.ok) throw new Error(JSON.stringify(result.problems[0]))
  return { works: result.works, plan: greedyPlan(result.works) }
}
