import { generateWorks, TIGHT, type WorksWanted } from '../../bench/generate-works.ts'
import type { Plan } from '../../src/plan/plan.ts'
import { verifyPlan } from '../../src/plan/verify.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { parseWorks } from '../../src/works/parse-works.ts'
import type { Works } from '../../src/works/works.ts'

export async function demoWorks(): Promise<Works> {
  const { files } = await readWorksFolder('demo/kelderwick')
  const result = parseWorks('kelderwick', files)
  if (!result.ok) throw new Error(JSON.stringify(result.problems[0]))
  return result.works
}

/** Small enough to plan in a moment. */
export const SMALL: WorksWanted = {
  ...TIGHT,
  folder: 'small',
  types: 3,
  linesPerType: 10,
  metresPerLine: 220,
  hopeless: 2,
}

/** The cuts that the generator had in mind, as a plan with honest figures. */
export function hiddenPlan(wanted: WorksWanted): { works: Works; plan: Plan } {
  const { works, hidden } = generateWorks(wanted)
  const unserved = works.orders.slice(works.orders.length - wanted.hopeless).map((o) => ({
    order: o.order,
    orderLine: o.line,
    pieces: o.qty,
    reason: 'meant to be',
    offer: null,
  }))
  const verdict = verifyPlan(works, { mountings: hidden, unserved })
  return {
    works,
    plan: {
      works: works.folder,
      seed: 1,
      work: 0,
      mountings: hidden,
      unserved,
      stopped: false,
      byCable: [],
      unservedMicro: verdict.unservedMicro,
      costMicro: verdict.costMicro,
      costItems: verdict.costItems,
      deliveredMicro: verdict.deliveredMicro,
      bound: { unservedMicro: 0, costMicro: verdict.costMicro },
    },
  }
}
