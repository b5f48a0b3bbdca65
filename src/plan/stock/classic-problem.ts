/**
 * The classical cutting-stock problem with one or several stock lengths (Kantorovich 1939, Gilmore and Gomory 1961): serve every
 * piece from bars so that the bars used cost least. Lengths and costs are whole numbers in the caller's units.
 */
export interface ClassicProblem {
  pieces: { length: number; demand: number }[]
  bars: { length: number; copies: number; cost: number }[]
}

/** One way to cut a bar, and how often. `counts[i]` pieces of kind i. */
export interface CutBars {
  bar: number
  times: number
  counts: number[]
}

/** The problem with equal lengths merged, longest piece first, and what fits no bar refused. */
export function normalised(problem: ClassicProblem): ClassicProblem {
  const longest = Math.max(...problem.bars.map((bar) => bar.length))
  const pieces = new Map<number, number>()
  for (const { length, demand } of problem.pieces) {
    if (!(length > 0 && length <= longest)) throw new RangeError(`a piece of length ${length} fits no bar`)
    if (demand > 0) pieces.set(length, (pieces.get(length) ?? 0) + demand)
  }
  return {
    pieces: [...pieces].map(([length, demand]) => ({ length, demand })).sort((a, b) => b.length - a.length),
    bars: problem.bars,
  }
}

/** What is wrong with a plan for a problem, in words; empty when nothing is. Knows nothing of how the plan was found. */
export function classicFaults(problem: ClassicProblem, plan: readonly CutBars[]): string[] {
  const faults: string[] = []
  const made = problem.pieces.map(() => 0)
  const used = problem.bars.map(() => 0)
  for (const { bar, times, counts } of plan) {
    const length = problem.bars[bar]?.length
    if (length === undefined || !Number.isSafeInteger(times) || times < 1) {
      faults.push(`bar ${bar} cut ${times} times`)
      continue
    }
    used[bar] = used[bar]! + times
    let cut = 0
    for (let i = 0; i < problem.pieces.length; i++) {
      const count = counts[i] ?? 0
      if (!Number.isSafeInteger(count) || count < 0) faults.push(`${count} pieces of kind ${i}`)
      cut += count * problem.pieces[i]!.length
      made[i] = made[i]! + times * count
    }
    if (cut > length) faults.push(`${cut} cut from a bar of ${length}`)
  }
  problem.pieces.forEach(({ demand }, i) => {
    if (made[i]! < demand) faults.push(`piece ${i}: ${made[i]} of ${demand}`)
  })
  problem.bars.forEach(({ copies }, k) => {
    if (used[k]! > copies) faults.push(`bar ${k}: ${used[k]} of ${copies}`)
  })
  return faults
}

export function classicCost(problem: ClassicProblem, plan: readonly CutBars[]): number {
  return plan.reduce((sum, { bar, times }) => sum + times * problem.bars[bar]!.cost, 0)
}
