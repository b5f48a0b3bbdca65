import type { StockPlan, StockProblem } from '../../src/plan/stock/stock-problem.ts'

/** One column: what it costs, between which values it lies, whether it must be whole. */
interface Column {
  cost: number
  upper: number
  whole: boolean
}

/** One row: its entries lie between two values in sum. */
interface Row {
  lower: number
  upper: number
  columns: number[]
  values: number[]
}

/** Order lines that want the same length at the same price: one kind, dealt out afterwards. */
interface Kind {
  unitLength: number
  piecesPerUnit: number
  lines: number[]
  units: number
}

const INFINITY = Number.POSITIVE_INFINITY
/** Places at which the cost of a kept rest is touched by a line from below, from the least that is kept to the longest stretch. */
const TOUCHES = 12
/** Half the span over which its slope is taken: the cost is given in whole numbers. */
const SPAN = 500

/**
 * The plain way to write a stock problem as a mixed-integer program: how many pieces of a kind are cut from a stretch, whether a stretch
 * is cut, whether a stock is opened, whether a rest is kept. The cost of a kept rest is convex and stands as lines that touch it from
 * below, so the program is out by a trifle in its own favour; a plan is priced by the true cost. Lengths and costs are divided by `scale`
 * (a million or so) to be of the size that such a solver likes.
 */
export class AssignmentModel {
  readonly columns: Column[] = []
  readonly rows: Row[] = []
  readonly #problem: StockProblem
  readonly #scale: { length: number; cost: number }
  readonly #kinds: Kind[]
  readonly #pieces: { kind: number; stock: number; stretch: number; column: number }[] = []

  constructor(problem: StockProblem, scale: { length: number; cost: number }) {
    this.#problem = problem
    this.#scale = scale
    this.#kinds = kindsOf(problem)
    const served: Row[] = this.#kinds.map((kind) => ({
      lower: 0,
      upper: kind.units,
      columns: [],
      values: [],
    }))
    problem.stocks.forEach((stock, b) => {
      const opened = this.#column(stock.openCost / scale.cost, 1, true)
      for (const s of stock.stretches.keys()) this.#stretch(b, s, opened, served)
    })
    this.rows.push(...served)
  }

  /** Cost of serving nothing, which the columns of pieces take away from. */
  get base(): number {
    return this.#problem.lines.reduce((sum, l) => sum + l.quantity * l.unservedCost, 0) / this.#scale.cost
  }

  /** The plan that a vector of values stands for. */
  planOf(values: ArrayLike<number>): StockPlan {
    const cuts: StockPlan['cuts'] = this.#problem.stocks.map((s) => s.stretches.map(() => []))
    const left = this.#kinds.map((kind) =>
      kind.lines.map((line) => this.#problem.lines[line]!.quantity / kind.piecesPerUnit),
    )
    for (const { kind, stock, stretch, column } of this.#pieces) {
      let open = Math.round(values[column]!)
      const { lines, piecesPerUnit } = this.#kinds[kind]!
      lines.forEach((line, k) => {
        const n = Math.min(open, left[kind]![k]!)
        if (n <= 0) return
        left[kind]![k] = left[kind]![k]! - n
        open -= n
        cuts[stock]![stretch]!.push({ line, count: n * piecesPerUnit })
      })
    }
    return { cuts }
  }

  #column(cost: number, upper: number, whole: boolean): number {
    return this.columns.push({ cost, upper, whole }) - 1
  }

  /** Pieces, scrap and rest of a stretch add up to its length where it is cut, and to nothing where it is not. */
  #stretch(b: number, s: number, opened: number, served: Row[]): void {
    const { stretches, rest } = this.#problem.stocks[b]!
    const length = stretches[s]!
    const scaled = (x: number) => x / this.#scale.length
    const cut = this.#column(0, 1, true)
    const keeps = this.#column(0, 1, true)
    const most = Math.min(rest.scrapBelow, length)
    const scrap = this.#column(
      (rest.cost(most - 1) / (most - 1) / this.#scale.cost) * this.#scale.length,
      INFINITY,
      false,
    )
    const kept = this.#column(0, INFINITY, false)
    const price = this.#column(1, INFINITY, false)
    const total: Row = { lower: 0, upper: 0, columns: [cut, scrap, kept], values: [-scaled(length), 1, 1] }
    this.#kinds.forEach((kind, k) => {
      const fits = Math.min(kind.units, Math.floor(length / kind.unitLength))
      if (fits === 0) return
      const unserved = this.#problem.lines[kind.lines[0]!]!.unservedCost * kind.piecesPerUnit
      const column = this.#column(-unserved / this.#scale.cost, fits, true)
      this.#pieces.push({ kind: k, stock: b, stretch: s, column })
      total.columns.push(column)
      total.values.push(scaled(kind.unitLength))
      served[k]!.columns.push(column)
      served[k]!.values.push(1)
    })
    const atMost = (columns: number[], values: number[]) =>
      this.rows.push({ lower: -INFINITY, upper: 0, columns, values })
    this.rows.push(total)
    atMost([cut, opened], [1, -1])
    atMost([keeps, cut], [1, -1])
    atMost([scrap, cut, keeps], [1, -scaled(most), scaled(most)])
    atMost([kept, keeps], [1, -scaled(length)])
    atMost([keeps, kept], [scaled(rest.scrapBelow), -1])
    if (length <= rest.scrapBelow) return
    for (let t = 0; t < TOUCHES; t++) {
      const at = rest.scrapBelow * (length / rest.scrapBelow) ** (t / (TOUCHES - 1)) + SPAN
      const [low, high] = [rest.cost(at - SPAN), rest.cost(at + SPAN)]
      const slope = (high - low) / (2 * SPAN)
      const level = (low - slope * (at - SPAN)) / this.#scale.cost
      atMost([keeps, kept, price], [level, (slope / this.#scale.cost) * this.#scale.length, -1])
    }
  }
}

function kindsOf({ lines }: StockProblem): Kind[] {
  const kinds = new Map<string, Kind>()
  lines.forEach((line, i) => {
    const piecesPerUnit = line.oneStretch ? line.quantity : 1
    const key = JSON.stringify([line.length, piecesPerUnit, line.unservedCost])
    const kind = kinds.get(key) ?? {
      unitLength: line.length * piecesPerUnit,
      piecesPerUnit,
      lines: [],
      units: 0,
    }
    kinds.set(key, kind)
    kind.lines.push(i)
    kind.units += line.quantity / piecesPerUnit
  })
  return [...kinds.values()]
}
