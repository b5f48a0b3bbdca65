import { BranchingKnapsack } from './branching-knapsack.ts'
import { provenCost } from './classic-bound.ts'
import type { ClassicProblem, CutBars } from './classic-problem.ts'
import { CoveringSimplex } from './covering-simplex.ts'

/** Prices are counted in this part of a bar. */
const PER_BAR = 2 ** 32
const KNAPSACK_NODES = 2_000_000
const DEAR = 10

interface Node {
  /** Pieces that share a bar, by number of the single piece. */
  groups: number[][]
  /** Pairs of single pieces that do not share a bar. */
  apart: [number, number][]
}

/**
 * Branch and price on pairs (Ryan and Foster 1981) for one bar length and few pieces: two pieces share a bar, or they do not. It
 * decides what rounding up leaves open, among others whether an instance needs one bar more than its rounded-up relaxation says.
 */
export class PairBranching {
  readonly #length: number
  /** Kind and length of each single piece. */
  readonly #kind: number[]
  readonly #lengths: number[]
  readonly #kinds: number
  readonly #clock: () => boolean
  #columns: number[][] = []
  readonly #known = new Set<string>()
  readonly #most: number
  #stack: Node[]
  /** Set when a node could neither be ruled out nor branched on. */
  #undecided = false
  nodes = 0

  /** `columns`: patterns to start from. */
  constructor(
    problem: ClassicProblem,
    most: number,
    columns: readonly { rows: number[]; counts: number[] }[],
    clock: () => boolean,
  ) {
    this.#most = most
    this.#length = problem.bars[0]!.length
    this.#kind = problem.pieces.flatMap((piece, i) => new Array<number>(piece.demand).fill(i))
    this.#lengths = this.#kind.map((i) => problem.pieces[i]!.length)
    this.#kinds = problem.pieces.length
    this.#clock = clock
    this.#stack = [{ groups: this.#kind.map((_, i) => [i]), apart: [] }]
    const first = problem.pieces.map((_, i) => this.#kind.indexOf(i))
    for (const { rows, counts } of columns)
      this.#add(rows.flatMap((i, k) => Array.from({ length: counts[k]! }, (_, n) => first[i]! + n)))
  }

  /** Goes on for some nodes. A plan with at most `most` bars, or the proof that there is none, or neither yet. */
  run(nodes: number): CutBars[] | 'none' | 'not yet' {
    for (let k = 0; k < nodes; k++) {
      const node = this.#stack.pop()
      if (!node) return this.#undecided ? 'not yet' : 'none'
      this.nodes++
      const answer = this.#clock() ? this.#settle(node) : 'time'
      if (answer === 'time') {
        this.#stack.push(node)
        return 'not yet'
      }
      if (answer === 'cut off') continue
      const pair = this.#pair(node, answer)
      if (pair === null) {
        const plan = this.#planOf(answer)
        if (plan) return plan
        this.#undecided = true
        continue
      }
      const [g, h] = pair
      const joined = [...node.groups[g]!, ...node.groups[h]!]
      const rest = node.groups.filter((_, i) => i !== g && i !== h)
      this.#stack.push({
        groups: node.groups,
        apart: [...node.apart, [node.groups[g]![0]!, node.groups[h]![0]!]],
      })
      this.#stack.push({ groups: [joined, ...rest], apart: node.apart })
    }
    return 'not yet'
  }

  #add(pieces: number[]): number[] | null {
    const sorted = pieces.sort((a, b) => a - b)
    const key = sorted.join(',')
    if (this.#known.has(key)) return null
    this.#known.add(key)
    this.#columns.push(sorted)
    return sorted
  }

  /** Column generation at a node, no longer than it takes to know whether the bars can be ruled out. */
  #settle(node: Node): { pieces: number[]; level: number }[] | 'cut off' | 'time' {
    const { groups } = node
    const groupOf = new Int32Array(this.#kind.length)
    groups.forEach((group, g) => {
      for (const i of group) groupOf[i] = g
    })
    const lengths = Int32Array.from(groups, (group) => group.reduce((sum, i) => sum + this.#lengths[i]!, 0))
    if (lengths.some((length) => length > this.#length)) return 'cut off'
    const conflicts: number[][] = groups.map(() => [])
    for (const [i, j] of node.apart) {
      const g = groupOf[i]!
      const h = groupOf[j]!
      if (g === h) return 'cut off'
      conflicts[g]!.push(h)
      conflicts[h]!.push(g)
    }
    const simplex = new CoveringSimplex(groups.length, groups.length, DEAR)
    const used: number[][] = []
    const put = (pieces: number[]) => {
      const rows = rowsOf(pieces, groupOf, groups, conflicts)
      if (rows === null) return
      simplex.addColumn(
        1 + 1e-7 * ((used.length * 0.618034) % 1),
        rows,
        new Array<number>(rows.length).fill(1),
      )
      used.push(pieces)
    }
    for (const pieces of this.#columns) put(pieces)
    simplex.reset(Float64Array.from(groups, (_, g) => 1 + 1e-7 * ((g * 0.618034) % 1)))
    const knapsack = new BranchingKnapsack(conflicts, KNAPSACK_NODES)
    const caps = new Int32Array(groups.length).fill(1)
    const problem = {
      pieces: Array.from(lengths, (length) => ({ length, demand: 1 })),
      bars: [{ length: this.#length, copies: groups.length, cost: 1 }],
    }
    for (;;) {
      simplex.primal(20_000)
      const missing = simplex.basic.some(
        (code, i) => code >= 0 && code < simplex.needs && simplex.level[i]! > 1e-4,
      )
      if (!missing && simplex.objective() <= this.#most + 1e-4) return levelsOf(simplex, used)
      if (!this.#clock()) return 'time'
      const worths = Float64Array.from(groups, (_, g) => Math.max(0, Math.floor(simplex.duals[g]! * PER_BAR)))
      knapsack.load({ lengths, caps, worths }, this.#length)
      const worth = knapsack.bound(this.#length)
      if (
        provenCost(problem, { perCost: PER_BAR, prices: worths, worths: Float64Array.of(worth) }) > this.#most
      )
        return 'cut off'
      const counts = knapsack.counts(this.#length)
      const added = this.#add(groups.flatMap((group, g) => (counts[g]! > 0 ? group : [])))
      // nothing new to add and not ruled out: too close to tell, so branch
      if (added === null) return levelsOf(simplex, used)
      put(added)
    }
  }

  /** Two groups that share bars by about a half; null when everything is whole. */
  #pair(node: Node, used: readonly { pieces: number[]; level: number }[]): [number, number] | null {
    if (used.every(({ level }) => Math.abs(level - Math.round(level)) < 1e-3)) return null
    const groupOf = new Map<number, number>()
    node.groups.forEach((group, g) => {
      groupOf.set(group[0]!, g)
    })
    const n = node.groups.length
    const together = new Map<number, number>()
    for (const { pieces, level } of used) {
      const rows = pieces.flatMap((i) => groupOf.get(i) ?? [])
      for (let a = 0; a < rows.length; a++)
        for (let b = a + 1; b < rows.length; b++) {
          const key = Math.min(rows[a]!, rows[b]!) * n + Math.max(rows[a]!, rows[b]!)
          together.set(key, (together.get(key) ?? 0) + level)
        }
    }
    let best: [number, number] | null = null
    let nearest = 0.499
    for (const [key, level] of together) {
      const g = Math.floor(key / n)
      const h = key % n
      const size = node.groups[g]!.concat(node.groups[h]!).reduce((sum, i) => sum + this.#lengths[i]!, 0)
      const distance = Math.abs(level - 0.5) - (0.1 * size) / this.#length
      if (Math.abs(level - 0.5) < 0.499 && distance < nearest) {
        nearest = distance
        best = [g, h]
      }
    }
    return best
  }

  /** Each used column once; a piece that several hold is cut from the first. */
  #planOf(used: readonly { pieces: number[]; level: number }[]): CutBars[] | null {
    const open = new Set(this.#kind.keys())
    const plan = used
      .filter(({ level }) => level > 0.5)
      .map(({ pieces }) => {
        const counts = new Array<number>(this.#kinds).fill(0)
        for (const i of pieces) if (open.delete(i)) counts[this.#kind[i]!] = counts[this.#kind[i]!]! + 1
        return { bar: 0, times: 1, counts }
      })
    return open.size === 0 && plan.length <= this.#most ? plan : null
  }
}

/** The rows of a column at a node, or null where it splits a group or holds what must be apart. */
function rowsOf(
  pieces: number[],
  groupOf: Int32Array,
  groups: number[][],
  conflicts: number[][],
): number[] | null {
  const count = new Map<number, number>()
  for (const i of pieces) count.set(groupOf[i]!, (count.get(groupOf[i]!) ?? 0) + 1)
  for (const [g, n] of count) {
    if (n !== groups[g]!.length) return null
    if (conflicts[g]!.some((h) => count.has(h))) return null
  }
  return [...count.keys()]
}

function levelsOf(simplex: CoveringSimplex, used: number[][]): { pieces: number[]; level: number }[] {
  const levels: { pieces: number[]; level: number }[] = []
  simplex.basic.forEach((code, i) => {
    if (code >= simplex.needs && simplex.level[i]! > 1e-6)
      levels.push({ pieces: used[code - simplex.needs]!, level: simplex.level[i]! })
  })
  return levels
}
