import highsModule, { type Highs, type HighsCallbackMap } from 'highs'
import type { StockPlan, StockProblem } from '../../src/plan/stock/stock-problem.ts'
import { AssignmentModel } from './assignment-model.ts'

/** Its types are written for CommonJS while the module is loaded as ESM, where the default export is the loader itself. */
const loadHighs = highsModule as unknown as () => Promise<Highs>

export interface Assigned {
  plan: StockPlan
  /** What the library claims as its bound, in units of cost. */
  claimedBound: number
  processorS: number
}

/** Solves the assignment model of a problem for so many seconds of the processor, and tells each better plan as it is found. */
export async function solveAssignment(
  problem: StockProblem,
  scale: { length: number; cost: number },
  seconds: number,
  onBetter: (better: Assigned) => void,
): Promise<void> {
  const startedAt = process.cpuUsage()
  const processorS = () => {
    const { user, system } = process.cpuUsage(startedAt)
    return (user + system) / 1e6
  }
  const highs = await loadHighs()
  const written = new AssignmentModel(problem, scale)
  const model = highs.createModel()
  const bounded = (x: number) => (Number.isFinite(x) ? x : Math.sign(x) * highs.infinity)
  model.options.set({ output_flag: false, random_seed: 1, mip_rel_gap: 0 })
  for (const { lower, upper } of written.rows)
    model.addRow(bounded(lower), bounded(upper), { indices: [], values: [] })
  const entries = written.columns.map(() => ({ indices: [] as number[], values: [] as number[] }))
  written.rows.forEach(({ columns, values }, row) => {
    columns.forEach((column, k) => {
      entries[column]!.indices.push(row)
      entries[column]!.values.push(values[k]!)
    })
  })
  written.columns.forEach(({ cost, upper, whole }, c) => {
    model.addCol(cost, 0, bounded(upper), entries[c]!)
    if (whole) model.changeColIntegrality(c, highs.constants.variableType.integer)
  })
  const callbacks: HighsCallbackMap = {
    [highs.constants.callbackType.mipImprovingSolution]({ data }) {
      if (data.mip_solution)
        onBetter({
          plan: written.planOf(data.mip_solution),
          claimedBound: (written.base + (data.mip_dual_bound ?? -highs.infinity)) * scale.cost,
          processorS: processorS(),
        })
      return undefined
    },
    [highs.constants.callbackType.mipInterrupt](event) {
      if (processorS() > seconds) event.interrupt()
      return undefined
    },
  }
  model.run(callbacks)
  model.dispose()
}
