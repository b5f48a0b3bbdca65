import { LastmetreError } from '../quantity/errors.ts'
import type { MicroEur } from '../quantity/money.ts'
import { assemble } from './assemble.ts'
import type { Catalog } from './catalog.ts'
import type { TypeInstance } from './instance.ts'
import type { Plan } from './plan.ts'
import { unservedOf } from './reasons.ts'
import type { TypeResult } from './type-planner.ts'
import { verifyPlan } from './verify.ts'

/** A cable type with where it stands. */
export interface TypeStanding {
  instance: TypeInstance
  result: TypeResult
}

/** Puts the types together to one plan and checks it. Throws where the plan breaks a rule: such a plan is withheld. */
export function composePlan(
  catalog: Catalog,
  standings: TypeStanding[],
  seed: number,
  stopped: boolean,
): Plan {
  const { input } = catalog
  const mountings = assemble(
    catalog,
    standings.map(({ instance, result }) => ({ instance, solution: result.solution })),
  )
  const unserved = unservedOf(
    catalog,
    standings.map((s) => s.instance),
    mountings,
    leastLeft(standings),
  )
  const verdict = verifyPlan(input, { mountings, unserved })
  const first = verdict.broken[0]
  if (first)
    throw new LastmetreError(
      'plan-broken',
      `The plan breaks a rule (${first.rule}, ${first.where}): ${first.why}.`,
    )
  return {
    works: input.folder,
    seed,
    work: standings.reduce((sum, s) => sum + s.result.work, 0),
    mountings,
    unserved,
    unservedMicro: verdict.unservedMicro,
    costMicro: verdict.costMicro,
    costItems: verdict.costItems,
    deliveredMicro: verdict.deliveredMicro,
    bound: boundOf(standings, verdict.unservedMicro, verdict.costMicro),
    byCable: standings.map(({ instance, result }) => {
      const credit = creditOf(instance)
      return {
        cable: instance.cable.cable,
        costMicro: result.solution.costMicro - credit,
        boundMicro: Math.min(result.boundMicro, result.solution.costMicro) - credit,
        deliveredMicro: instance.items.reduce(
          (sum, item) =>
            sum + item.creditMicro * (item.demand - Math.ceil(result.solution.missing[item.index]! - 1e-7)),
          0,
        ),
      }
    }),
    stopped,
  }
}

/** The cables of which no plan can serve more. */
function leastLeft(standings: TypeStanding[]): Set<string> {
  const proven = standings.filter(({ result }) => result.solution.unservedMicro <= result.serviceBoundMicro)
  return new Set(proven.map(({ instance }) => instance.cable.cable))
}

/** Material of all that is ordered of a type: what its cost is reckoned without. */
function creditOf(instance: TypeInstance): MicroEur {
  return instance.items.reduce((sum, item) => sum + item.creditMicro * item.demand, 0)
}

function boundOf(standings: TypeStanding[], unservedMicro: MicroEur, costMicro: MicroEur): Plan['bound'] {
  let service = 0
  let cost = 0
  const fixed = new Map<string, MicroEur>()
  for (const { instance, result } of standings) {
    service += result.serviceBoundMicro
    cost += result.boundMicro - creditOf(instance)
    for (const [line, micro] of instance.lineFixed) fixed.set(line, micro)
  }
  // each type pays for a change of cable on each line it uses, but the first cable on a line is no change
  for (const micro of fixed.values()) cost -= micro
  return { unservedMicro: Math.min(service, unservedMicro), costMicro: Math.min(cost, costMicro) }
}
