/** What a leftover of a stretch costs. `scrapBelow` divides leftovers that are scrap from those that are kept. */
export interface RestCost {
  scrapBelow: number
  cost(rest: number): number
}

/** One drum or remnant: clean stretches, what opening it costs, and what is left costs by stretch. */
export interface Stock {
  id: string
  stretches: number[]
  openCost: number
  rest: RestCost
}

/** One order line: so many equal pieces, each within one stretch; with `oneStretch` all of them within the same one. */
export interface StockLine {
  id: string
  length: number
  quantity: number
  /** Cost of one piece that is not served. */
  unservedCost: number
  oneStretch: boolean
}

/**
 * Which stretch of which stock becomes which piece, at least cost. Lengths and costs are whole numbers in units of the caller; cost
 * coefficients are data. A stock of which nothing is cut costs nothing; of one that is opened every stretch that is cut leaves a rest.
 */
export interface StockProblem {
  stocks: Stock[]
  lines: StockLine[]
}

/** Pieces of each line by stretch: `cuts[stock][stretch]`. */
export interface StockPlan {
  cuts: { line: number; count: number }[][][]
}
