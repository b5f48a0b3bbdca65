import type { MicroEur } from '../quantity/money.ts'
import type { Pattern } from './pattern.ts'
import { PieceMoves } from './piece-moves.ts'
import type { OldPattern } from './repair-pattern.ts'
import type { TypePlanner } from './type-planner.ts'
import { solutionOf, type TypeSolution, tidied } from './type-solution.ts'

/** How wide a neighbourhood is freed beside what must change: from a drum or two, over a handful, to all. */
const WIDTHS = [
  { least: 0, most: 2 },
  { least: 2, most: 5 },
  { least: 4, most: Number.MAX_SAFE_INTEGER },
]
/** Wider tries are fewer: each takes more work. */
const WIDER_TRIES = 0.75
/** How plans from nothing are begun when service is still short: long pieces first, more or less, and whatever serves most. */
const SWEEP_BIASES = [0.5, 1.5]
const SERVE_MORE = 3
/** Share of the tries that begin from the old plan and not from the best so far, which keeps the changes few. */
const FROM_OLD = 0.3
/** Drums in no mounting that a try may use; the first tries of each width may use this many more. */
const SPARE_DRUMS = 4
const SPARE_DRUMS_FIRST = 24

/** How hard to look. */
export interface RepairEffort {
  /** Tries of each width, and how many fillings of a drum they may take. */
  tries: number
  work: number
  /** How many widths are tried whatever is served. */
  widest: number
  /** Moves of single pieces after that. */
  moves: number
  /** Turns of the full planner beyond that, with its bound. */
  turns: number
  /** What each changed mounting counts in choosing: a sheet printed again, a drum looked for. A changed plan must be worth that. */
  changeMicro: MicroEur
}

/** A plan of one type, with how many mountings differ from the old plan. */
export interface Repaired {
  solution: TypeSolution
  changed: number
}

/**
 * Mends the plan of one type: what can stay stays, drums that must change are filled again together with a few neighbours, and
 * with more of them while more is unserved than is enough. Deterministic for the seed of the planner and the tries.
 */
export class RepairSearch {
  readonly #planner: TypePlanner
  readonly #old: OldPattern[]
  readonly #start: Pattern[]
  readonly #broken: Set<number>
  readonly #changeMicro: MicroEur
  best: Repaired

  /** `changeMicro`: what each changed mounting counts in choosing. */
  constructor(planner: TypePlanner, old: OldPattern[], changeMicro: MicroEur) {
    this.#planner = planner
    this.#changeMicro = changeMicro
    this.#old = old
    this.#start = old.flatMap((o) => (o.pattern ? [o.pattern] : []))
    this.#broken = new Set(old.filter((o) => !o.stays).map((o) => o.drum))
    this.best = this.#judged(this.#solution(this.#start))
  }

  /** `widest`: how many of the widths are tried whatever is served; more only while more than `enoughMicro` is not. */
  run(
    { tries, work, widest, moves }: Pick<RepairEffort, 'tries' | 'work' | 'widest' | 'moves'>,
    enoughMicro: MicroEur,
    late: () => boolean,
  ): void {
    const { pricer } = this.#planner.search
    for (const [w, width] of WIDTHS.entries()) {
      if (w >= widest && this.best.solution.unservedMicro <= enoughMicro) break
      if (w === WIDTHS.length - 1 && this.best.solution.unservedMicro > enoughMicro) this.#anew(late)
      const most = w === 0 ? tries : Math.ceil(tries * WIDER_TRIES)
      const fullAt = pricer.work + work
      for (let n = 0; n < most && pricer.work < fullAt && !late(); n++) this.#try(n, width)
    }
    if (moves > 0 && this.#planner.instance.drums.length > 0 && !late()) this.#movePieces(moves, late)
    this.#planner.search.consider(this.best.solution.patterns)
  }

  /** Pieces moved one by one, from the best so far: taken where that is worth the mountings it changes. */
  #movePieces(moves: number, late: () => boolean): void {
    const { catalog, instance, random } = this.#planner.search
    const pieces = new PieceMoves(catalog, instance, random, {
      patterns: new Map(this.#start.map((p) => [p.drum, p])),
      broken: this.#broken,
      changeMicro: this.#changeMicro,
    })
    this.offer(this.#solution(pieces.run(this.best.solution, moves, late)))
  }

  /** Takes a plan that was found otherwise, where it is better. */
  offer(solution: TypeSolution): boolean {
    const offered = this.#judged(solution)
    if (!this.#isBetter(offered, this.best)) return false
    this.best = offered
    return true
  }

  /** Plans from nothing, as a new plan would be begun; the tries that follow go on from it where it serves more. */
  #anew(late: () => boolean): void {
    const { search } = this.#planner
    for (const bias of SWEEP_BIASES) if (!late()) search.sweep(bias, late)
    for (let n = 0; n < SERVE_MORE; n++) if (!late()) search.serveMore()
    if (search.best) this.offer(search.best)
  }

  #try(n: number, width: { least: number; most: number }): void {
    const { search, instance } = this.#planner
    const { random } = search
    const base = random() < FROM_OLD ? this.#start : this.best.solution.patterns
    const kept = base.filter((p) => n === 0 || !this.#broken.has(p.drum))
    const freed = base.filter((p) => !kept.includes(p)).map((p) => p.drum)
    const most = Math.min(width.most, kept.length)
    const least = Math.min(width.least, most)
    const wanted = n < 2 ? least : least + Math.floor(random() * (most - least + 1))
    for (let k = 0; k < wanted; k++) freed.push(kept.splice(this.#neighbour(kept), 1)[0]!.drum)
    const { missing } = this.best.solution
    if (random() < 0.5) this.#freeShortGroups(kept, freed, missing)
    const used = new Set([...kept.map((p) => p.drum), ...freed])
    const spare = instance.drums.map((_, d) => d).filter((d) => !used.has(d))
    const extra = n < 2 ? SPARE_DRUMS_FIRST : Math.floor(random() * (SPARE_DRUMS + 1))
    for (let k = 0; k < extra && spare.length > 0; k++)
      freed.push(spare.splice(Math.floor(random() * spare.length), 1)[0]!)
    if (freed.length === 0) return
    const factor = n === 0 ? 1 : 0.95 + random() ** 2 * 1.5
    this.offer(search.refill(kept, freed, factor, random() < 0.6 ? missing : null))
  }

  /** Half of the neighbours are the drums with most left on them, the others any. */
  #neighbour(kept: Pattern[]): number {
    const { random } = this.#planner.search
    if (random() < 0.5) return Math.floor(random() * kept.length)
    let at = 0
    for (let i = 0; i < kept.length; i++) {
      const drawn = random() * kept[i]!.restUm
      if (drawn > kept[at]!.restUm * random()) at = i
    }
    return at
  }

  /** All that is cut for a lot group that is short, so that it can be bound to another lot. */
  #freeShortGroups(kept: Pattern[], freed: number[], missing: Float64Array): void {
    const { items } = this.#planner.instance
    const short = new Set(items.filter((i) => missing[i.index]! > 1e-7).map((i) => i.group))
    short.delete(null)
    if (short.size === 0) return
    for (let at = kept.length - 1; at >= 0; at--)
      if ([...kept[at]!.amounts.keys()].some((item) => short.has(items[item]!.group)))
        freed.push(kept.splice(at, 1)[0]!.drum)
  }

  #solution(patterns: Pattern[]): TypeSolution {
    const { catalog, instance } = this.#planner.search
    return solutionOf(instance, tidied(catalog, instance, patterns))
  }

  #judged(solution: TypeSolution): Repaired {
    const same = new Set(this.#old.filter((o) => o.stays).map((o) => o.pattern))
    const stayed = solution.patterns.filter((p) => same.has(p)).length
    const before = new Set(this.#old.map((o) => o.drum))
    const added = solution.patterns.filter((p) => !before.has(p.drum)).length
    return { solution, changed: this.#old.length - stayed + added }
  }

  #isBetter(a: Repaired, b: Repaired): boolean {
    const serves = a.solution.unservedMicro - b.solution.unservedMicro
    if (serves !== 0) return serves < 0
    const counted = (r: Repaired) => r.solution.costMicro + r.changed * this.#changeMicro
    return counted(a) < counted(b)
  }
}
