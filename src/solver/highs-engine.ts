import highsModule, { type Highs } from 'highs'
import type { LinearProgram, LinearProgramEngine, WholeLimit, WholeSolved } from '../plan/linear-program.ts'

/** Its types are written for CommonJS while the module is loaded as ESM, where the default export is the loader itself. */
const loadHighs = highsModule as unknown as () => Promise<Highs>

/** Loads the linear-programming library once. The only file that knows it. */
export async function highsEngine(): Promise<LinearProgramEngine> {
  const highs = await loadHighs()
  return { create: () => new HighsProgram(highs) }
}

/** The library's own limit. */
const MOST_NODES = 2_147_483_647

class HighsProgram implements LinearProgram {
  readonly #highs: Highs
  readonly #model: ReturnType<Highs['createModel']>
  #rows = 0
  #columns = 0
  /** Lower and upper bound of each column: most calls leave them as they are, and a call into the library costs time. */
  readonly #bounds: [number, number][] = []

  constructor(highs: Highs) {
    this.#highs = highs
    this.#model = highs.createModel()
    this.#model.options.set({ output_flag: false, random_seed: 1 })
  }

  addRow(lower: number, upper: number, columns: number[] = [], values: number[] = []): number {
    this.#model.addRow(this.#finite(lower), this.#finite(upper), { indices: columns, values })
    return this.#rows++
  }

  addColumn(cost: number, lower: number, upper: number, rows: number[], values: number[]): number {
    this.#bounds.push([lower, upper])
    this.#model.addCol(cost, this.#finite(lower), this.#finite(upper), { indices: rows, values })
    return this.#columns++
  }

  setRowBounds(row: number, lower: number, upper: number): void {
    this.#model.changeRowBounds(row, this.#finite(lower), this.#finite(upper))
  }

  setColumnBounds(column: number, lower: number, upper: number): void {
    const [knownLower, knownUpper] = this.#bounds[column]!
    if (lower === knownLower && upper === knownUpper) return
    this.#bounds[column] = [lower, upper]
    this.#model.changeColBounds(column, this.#finite(lower), this.#finite(upper))
  }

  solve(): { objective: number; values: Float64Array; duals: Float64Array } | null {
    if (!this.#ran() && !this.#ranAnew()) return null
    if (this.#model.getModelStatus() !== this.#highs.constants.modelStatus.optimal) return null
    const solution = this.#model.getSolution()
    return {
      objective: this.#model.getObjectiveValue(),
      values: Float64Array.from(solution.colValue),
      duals: Float64Array.from(solution.rowDual),
    }
  }

  solveWhole(wholeColumns: number[], { seconds, nodes }: WholeLimit): WholeSolved | null {
    const { variableType } = this.#highs.constants
    const start = this.#model.getRunTime()
    const time_limit = Number.isFinite(seconds) ? start + seconds : 1e9
    const mip_max_nodes = Number.isFinite(nodes) ? nodes : MOST_NODES
    this.#model.options.set({ time_limit, mip_max_nodes, mip_rel_gap: 0, mip_abs_gap: 0.01 })
    for (const column of wholeColumns) this.#model.changeColIntegrality(column, variableType.integer)
    try {
      this.#model.run()
      const values = Float64Array.from(this.#model.getSolution().colValue)
      // stopped early the library may hold no feasible point: an empty or fractional answer is none
      if (values.length !== this.#columns) return null
      if (wholeColumns.some((c) => Math.abs(values[c]! - Math.round(values[c]!)) > 1e-6)) return null
      const best = this.#model.getModelStatus() === this.#highs.constants.modelStatus.optimal
      return {
        objective: this.#model.getObjectiveValue(),
        values,
        best,
        work: Number(this.#model.info.get('simplex_iteration_count')),
      }
    } catch {
      // it gives up on figures that lie too far apart: that is no answer, and the plan goes on without
      return null
    } finally {
      this.#model.clearIntegrality()
      this.#model.options.set({ time_limit: 1e9 })
    }
  }

  /** The library gives up on figures that lie too far apart, and now and then on what it has made of sound ones step by step. */
  #ran(): boolean {
    try {
      this.#model.run()
      return true
    } catch {
      return false
    }
  }

  #ranAnew(): boolean {
    this.#model.clearSolver()
    return this.#ran()
  }

  dispose(): void {
    this.#model.dispose()
  }

  #finite(bound: number): number {
    if (bound === Number.POSITIVE_INFINITY) return this.#highs.infinity
    if (bound === Number.NEGATIVE_INFINITY) return -this.#highs.infinity
    return bound
  }
}
