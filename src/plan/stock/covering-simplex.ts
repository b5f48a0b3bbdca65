import { invert } from './dense-inverse.ts'
import { grown, SparseColumns } from './sparse-columns.ts'

/**
 * A revised simplex for covering problems with columns that come later: least cost, rows Σ ≥ rhs (needs) or Σ ≤ rhs (supplies).
 * It keeps a dense inverse of the basis and starts from one dear column for each need and one slack for each supply, so that any
 * right-hand side ≥ 0 has a start. What it answers is floating point and only ever a guide: bounds are proven elsewhere, in whole
 * numbers.
 */
export class CoveringSimplex {
  readonly rows: number
  /** Columns 0 … needs − 1 are pieces that are missing, one for each need. */
  readonly needs: number
  /** Which column stands in each row of the basis, −1 − i for the slack of row i, and its value. */
  readonly basic: Int32Array
  readonly level: Float64Array
  readonly duals: Float64Array
  readonly #sign: Int8Array
  /** Next to nothing, and different for each row: ties would let the dual method go round in circles. */
  readonly #slackCost: Float64Array
  readonly #inverse: Float64Array
  readonly #rhs: Float64Array
  readonly #alpha: Float64Array
  /** Row in which a column is basic, −1 if it is not. */
  #home: Int32Array = new Int32Array(256).fill(-1)
  readonly #slackHome: Int32Array
  readonly #columns = new SparseColumns()
  #reduced = new Float64Array(0)
  #weight = new Float64Array(0)
  readonly #slackReduced: Float64Array
  readonly #slackWeight: Float64Array
  #sinceCheck = 0
  #checks = 0
  /** Pivots so far: the measure of work. */
  pivots = 0

  /**
   * `needs`: rows that ask for at least; the rest of `rows` allow at most. `dearCost` is paid for one unit of a need that is missing,
   * `surplusCost` for one that is given beyond it.
   */
  constructor(rows: number, needs: number, dearCost: number, surplusCost = 0) {
    this.rows = rows
    this.needs = needs
    this.basic = new Int32Array(rows)
    this.level = new Float64Array(rows)
    this.duals = new Float64Array(rows)
    this.#sign = new Int8Array(rows).fill(1).fill(-1, 0, needs)
    this.#slackCost = Float64Array.from(
      { length: rows },
      (_, i) => 1e-7 * (1 + ((i * 0.618034) % 1)) + (i < needs ? surplusCost : 0),
    )
    this.#inverse = new Float64Array(rows * rows)
    this.#rhs = new Float64Array(rows)
    this.#alpha = new Float64Array(rows)
    this.#slackReduced = new Float64Array(rows)
    this.#slackWeight = new Float64Array(rows)
    this.#slackHome = new Int32Array(rows).fill(-1)
    for (let i = 0; i < needs; i++) this.addColumn(dearCost, [i], [1])
  }

  addColumn(cost: number, rows: readonly number[], values: readonly number[]): number {
    const j = this.#columns.add(cost, rows, values)
    if (j >= this.#home.length) this.#home = grown(this.#home, new Int32Array(2 * j).fill(-1))
    this.#home[j] = -1
    return j
  }

  setCost(column: number, cost: number): void {
    const home = this.#home[column]!
    const change = cost - this.#columns.cost[column]!
    this.#columns.cost[column] = cost
    if (home < 0 || change === 0) return
    const at = home * this.rows
    for (let i = 0; i < this.rows; i++) this.duals[i] = this.duals[i]! + change * this.#inverse[at + i]!
  }

  setDear(dearCost: number): void {
    for (let i = 0; i < this.needs; i++) this.setCost(i, dearCost)
  }

  /** The start: every need missing, every supply untouched. */
  reset(rhs: ArrayLike<number>): void {
    const { rows } = this
    this.#home.fill(-1)
    this.#slackHome.fill(-1)
    this.#inverse.fill(0)
    for (let i = 0; i < rows; i++) {
      this.#inverse[i * rows + i] = 1
      this.#rhs[i] = rhs[i]!
      this.level[i] = rhs[i]!
      if (this.#sign[i]! < 0) {
        this.basic[i] = i
        this.#home[i] = i
      } else {
        this.basic[i] = slackCode(i)
        this.#slackHome[i] = i
      }
    }
    this.#prices()
  }

  /** Another right-hand side; the basis stays. */
  setRhs(rhs: ArrayLike<number>): void {
    for (let i = 0; i < this.rows; i++) this.#rhs[i] = rhs[i]!
    this.#levels()
  }

  objective(): number {
    let sum = 0
    for (let i = 0; i < this.rows; i++) sum += this.duals[i]! * this.#rhs[i]!
    return sum
  }

  reducedCost(column: number): number {
    return this.#columns.cost[column]! - this.#columns.dot(column, this.duals, 0)
  }

  /** From a feasible basis to an optimal one over the columns known. False when the pivots allowed were not enough. */
  primal(mostPivots: number): boolean {
    this.#takeStock()
    for (let p = 0; p < mostPivots; p++) {
      const entering = this.#cheapest()
      if (entering === null) return true
      this.#column(entering)
      const r = this.#leavingRow()
      if (r < 0) return false
      const checks = this.#checks
      this.#foresee(entering, r)
      this.#pivot(entering, r)
      if (this.#checks !== checks) this.#takeReduced()
    }
    return false
  }

  /** From a basis whose levels may be negative to a feasible one, keeping prices as right as it can. */
  dual(mostPivots: number): boolean {
    for (let p = 0; p < mostPivots; p++) {
      let r = -1
      let worst = -1e-7
      for (let i = 0; i < this.rows; i++)
        if (this.level[i]! < worst) {
          worst = this.level[i]!
          r = i
        }
      if (r < 0) return true
      const entering = this.#enteringFor(r)
      if (entering === null) return false
      this.#column(entering)
      if (this.#alpha[r]! > -1e-9) return false
      this.#pivot(entering, r)
    }
    return false
  }

  /** Reduced costs of all that might enter, and their weights of Devex pricing (Harris 1973) afresh. */
  #takeStock(): void {
    if (this.#reduced.length < this.#columns.count) {
      this.#reduced = new Float64Array(2 * this.#columns.count)
      this.#weight = new Float64Array(2 * this.#columns.count)
    }
    this.#weight.fill(1, 0, this.#columns.count)
    this.#slackWeight.fill(1)
    this.#takeReduced()
  }

  #takeReduced(): void {
    for (let j = 0; j < this.#columns.count; j++)
      this.#reduced[j] = this.#home[j]! < 0 ? this.reducedCost(j) : 0
    for (let i = 0; i < this.rows; i++)
      this.#slackReduced[i] =
        this.#slackHome[i]! < 0 ? this.#slackCost[i]! - this.#sign[i]! * this.duals[i]! : 0
  }

  #cheapest(): number | null {
    let best = 0
    let entering: number | null = null
    for (let j = 0; j < this.#columns.count; j++) {
      const cost = this.#reduced[j]!
      if (cost > -1e-9) continue
      const gain = (cost * cost) / this.#weight[j]!
      if (gain > best) {
        best = gain
        entering = j
      }
    }
    for (let i = 0; i < this.rows; i++) {
      const cost = this.#slackReduced[i]!
      if (cost > -1e-9) continue
      const gain = (cost * cost) / this.#slackWeight[i]!
      if (gain > best) {
        best = gain
        entering = slackCode(i)
      }
    }
    return entering
  }

  /** Brings reduced costs and weights to where they stand after the pivot. */
  #foresee(entering: number, r: number): void {
    const { rows } = this
    const at = r * rows
    const inverse = this.#inverse
    const pivot = this.#alpha[r]!
    const price = (entering >= 0 ? this.#reduced[entering]! : this.#slackReduced[-entering - 1]!) / pivot
    const weight = (entering >= 0 ? this.#weight[entering]! : this.#slackWeight[-entering - 1]!) / pivot ** 2
    for (let j = 0; j < this.#columns.count; j++) {
      if (this.#home[j]! >= 0) continue
      const alpha = this.#columns.dot(j, inverse, at)
      if (alpha === 0) continue
      this.#reduced[j] = this.#reduced[j]! - price * alpha
      this.#weight[j] = Math.max(this.#weight[j]!, alpha * alpha * weight)
    }
    for (let i = 0; i < rows; i++) {
      const alpha = this.#sign[i]! * inverse[at + i]!
      if (alpha === 0 || this.#slackHome[i]! >= 0) continue
      this.#slackReduced[i] = this.#slackReduced[i]! - price * alpha
      this.#slackWeight[i] = Math.max(this.#slackWeight[i]!, alpha * alpha * weight)
    }
    const leaving = this.basic[r]!
    if (leaving >= 0) {
      this.#reduced[leaving] = -price
      this.#weight[leaving] = Math.max(weight, 1)
    } else {
      this.#slackReduced[-leaving - 1] = -price
      this.#slackWeight[-leaving - 1] = Math.max(weight, 1)
    }
    if (entering >= 0) this.#reduced[entering] = 0
    else this.#slackReduced[-entering - 1] = 0
  }

  #enteringFor(r: number): number | null {
    const at = r * this.rows
    const inverse = this.#inverse
    let best = Number.POSITIVE_INFINITY
    let entering: number | null = null
    let steepest = 0
    const consider = (code: number, alpha: number, cost: number) => {
      if (alpha > -1e-7) return
      const ratio = Math.max(cost, 0) / -alpha
      // among equals the largest pivot keeps the basis sound
      if (ratio < best - 1e-9 || (ratio < best + 1e-9 && alpha < steepest)) {
        best = Math.min(best, ratio)
        steepest = alpha
        entering = code
      }
    }
    for (let j = 0; j < this.#columns.count; j++) {
      if (this.#home[j]! >= 0) continue
      const alpha = this.#columns.dot(j, inverse, at)
      if (alpha < -1e-7) consider(j, alpha, this.reducedCost(j))
    }
    for (let i = 0; i < this.rows; i++) {
      if (this.#slackHome[i]! < 0)
        consider(
          slackCode(i),
          this.#sign[i]! * inverse[at + i]!,
          this.#slackCost[i]! - this.#sign[i]! * this.duals[i]!,
        )
    }
    return entering
  }

  /** The entering column in terms of the basis, into #alpha. */
  #column(code: number): void {
    const { rows } = this
    const alpha = this.#alpha
    const inverse = this.#inverse
    alpha.fill(0)
    const add = (row: number, value: number) => {
      for (let i = 0, at = row; i < rows; i++, at += rows) alpha[i] = alpha[i]! + value * inverse[at]!
    }
    const { start, row, value } = this.#columns
    if (code >= 0) for (let k = start[code]!; k < start[code + 1]!; k++) add(row[k]!, value[k]!)
    else add(-code - 1, this.#sign[-code - 1]!)
  }

  #leavingRow(): number {
    let r = -1
    let least = Number.POSITIVE_INFINITY
    for (let i = 0; i < this.rows; i++) {
      const a = this.#alpha[i]!
      if (a < 1e-8) continue
      const ratio = Math.max(this.level[i]!, 0) / a
      if (ratio < least - 1e-12 || (ratio <= least + 1e-12 && a > this.#alpha[r]!)) {
        least = Math.min(ratio, least)
        r = i
      }
    }
    return r
  }

  #costOf(code: number): number {
    return code >= 0 ? this.#columns.cost[code]! : this.#slackCost[-code - 1]!
  }

  #setHome(code: number, row: number): void {
    if (code >= 0) this.#home[code] = row
    else this.#slackHome[-code - 1] = row
  }

  #pivot(code: number, r: number): void {
    const { rows } = this
    const inverse = this.#inverse
    const alpha = this.#alpha
    let reduced = this.#costOf(code)
    for (let i = 0; i < rows; i++) reduced -= this.#costOf(this.basic[i]!) * alpha[i]!
    const pivotRow = inverse.subarray(r * rows, (r + 1) * rows)
    const divisor = alpha[r]!
    for (let i = 0; i < rows; i++) pivotRow[i] = pivotRow[i]! / divisor
    const step = this.level[r]! / divisor
    for (let i = 0, at = 0; i < rows; i++, at += rows) {
      const a = alpha[i]!
      if (i === r || (a < 1e-12 && a > -1e-12)) continue
      for (let k = 0; k < rows; k++) inverse[at + k] = inverse[at + k]! - a * pivotRow[k]!
      this.level[i] = this.level[i]! - a * step
    }
    this.level[r] = step
    for (let k = 0; k < rows; k++) this.duals[k] = this.duals[k]! + reduced * pivotRow[k]!
    this.#setHome(this.basic[r]!, -1)
    this.basic[r] = code
    this.#setHome(code, r)
    this.pivots++
    if (++this.#sinceCheck >= 60) this.#check()
  }

  /** Rounding errors grow with every pivot: levels and prices are taken afresh, and the inverse too once it has drifted. */
  #check(): void {
    this.#sinceCheck = 0
    this.#checks++
    const before = Float64Array.from(this.level)
    this.#levels()
    let drift = this.#residual()
    for (let i = 0; i < this.rows; i++) drift = Math.max(drift, Math.abs(before[i]! - this.level[i]!))
    if (drift > 1e-7) this.#invert()
    this.#prices()
  }

  #levels(): void {
    const { rows } = this
    for (let i = 0, at = 0; i < rows; i++, at += rows) {
      let sum = 0
      for (let k = 0; k < rows; k++) sum += this.#inverse[at + k]! * this.#rhs[k]!
      this.level[i] = sum
    }
  }

  #prices(): void {
    const { rows } = this
    this.duals.fill(0)
    for (let i = 0, at = 0; i < rows; i++, at += rows) {
      const cost = this.#costOf(this.basic[i]!)
      if (cost === 0) continue
      for (let k = 0; k < rows; k++) this.duals[k] = this.duals[k]! + cost * this.#inverse[at + k]!
    }
  }

  /** Largest difference between the rows that the levels fill and the right-hand side. */
  #residual(): number {
    const left = Float64Array.from(this.#rhs)
    this.#eachBasic((i, row, value) => {
      left[row] = left[row]! - value * this.level[i]!
    })
    return left.reduce((most, x) => Math.max(most, Math.abs(x)), 0)
  }

  #eachBasic(visit: (position: number, row: number, value: number) => void): void {
    const { start, row, value } = this.#columns
    for (let i = 0; i < this.rows; i++) {
      const code = this.basic[i]!
      if (code >= 0) for (let k = start[code]!; k < start[code + 1]!; k++) visit(i, row[k]!, value[k]!)
      else visit(i, -code - 1, this.#sign[-code - 1]!)
    }
  }

  /** The inverse of the basis from scratch. A basis that rounding has made singular is given up for the start. */
  #invert(): void {
    const { rows } = this
    const basis = new Float64Array(rows * rows)
    this.#eachBasic((i, row, value) => {
      basis[row * rows + i] = value
    })
    if (invert(basis, this.#inverse, rows)) this.#levels()
    else this.reset(this.#rhs.slice())
  }
}

const slackCode = (row: number) => -row - 1
