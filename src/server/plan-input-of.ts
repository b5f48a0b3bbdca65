import type { PlanInput } from '../plan/plan-input.ts'

/** What planning looks at, without the records that it does not. */
export function planInputOf(works: PlanInput): PlanInput {
  const { folder, site, benchHall, markets, costs, cables, connectors, putups } = works
  const { drums, marks, faults, orders, counterChecks } = works
  return {
    ...{ folder, site, benchHall, markets, costs, cables, connectors, putups },
    ...{ drums, marks, faults, orders, counterChecks },
  }
}
