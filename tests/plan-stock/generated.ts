import type { Random } from '../../src/plan/random.ts'
import type { ClassicProblem } from '../../src/plan/stock/classic-problem.ts'
import type { StockProblem } from '../../src/plan/stock/stock-problem.ts'

const between = (random: Random, from: number, to: number) => from + Math.floor(random() * (to - from + 1))

const oneBar = (length: number, lengths: number[]): ClassicProblem => ({
  pieces: lengths.map((piece) => ({ length: piece, demand: 1 })),
  bars: [{ length, copies: Number.MAX_SAFE_INTEGER, cost: 1 }],
})

/** Triplets after Falkenauer (1996): three pieces fill a bar of 1000 to the end, so that a third of the pieces is the optimum. */
export function triplets(random: Random, bars: number): ClassicProblem {
  const lengths: number[] = []
  for (let b = 0; b < bars; b++) {
    const first = between(random, 380, 490)
    const second = between(random, 250, Math.floor((1000 - first) / 2))
    lengths.push(first, second, 1000 - first - second)
  }
  return oneBar(1000, lengths)
}

/** Uniform lengths. */
export function uniform(
  random: Random,
  pieces: number,
  bar: number,
  from: number,
  to: number,
): ClassicProblem {
  return oneBar(
    bar,
    Array.from({ length: pieces }, () => between(random, from, to)),
  )
}

/** Kinds with many copies, in the manner of CUTGEN1 (Gau and Wäscher 1995): lengths uniform, demand shared out at random. */
export function manyCopies(random: Random, kinds: number, bar: number, meanDemand: number): ClassicProblem {
  return {
    pieces: Array.from({ length: kinds }, () => ({
      length: between(random, Math.ceil(bar / 100), Math.floor(bar * 0.8)),
      demand: between(random, 1, 2 * meanDemand - 1),
    })),
    bars: [{ length: bar, copies: Number.MAX_SAFE_INTEGER, cost: 1 }],
  }
}

/** A works of two stocks at most and five pieces at most, so small that every plan can be tried. */
export function tinyStock(random: Random): StockProblem {
  const scrapBelow = between(random, 0, 8)
  const kept = between(random, 0, 6)
  const rest = {
    scrapBelow,
    cost: (length: number) => (length < scrapBelow ? 3 * length : kept + Math.round(40 / (length + 10))),
  }
  const stocks = Array.from({ length: between(random, 1, 2) }, (_, b) => ({
    id: `S${b}`,
    stretches: Array.from({ length: between(random, 1, 2) }, () => between(random, 5, 40)),
    openCost: between(random, 0, 12),
    rest,
  }))
  let pieces = 5
  const lines: StockProblem['lines'] = []
  while (pieces > 0 && lines.length < 3) {
    const quantity = between(random, 1, Math.min(3, pieces))
    const length = between(random, 2, 20)
    pieces -= quantity
    lines.push({
      id: `L${lines.length}`,
      length,
      quantity,
      unservedCost: length * between(random, 1, 9),
      oneStretch: random() < 0.3,
    })
  }
  return { stocks, lines }
}
