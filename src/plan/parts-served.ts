import type { LengthUm } from '../quantity/length.ts'
import type { CutRules } from '../strip/cut-rules.ts'
import { optionFor } from './best-fit.ts'
import { type Fillable, type Place, placeTakes } from './drum-model.ts'
import { bulkCutUm, declaredOfCutUm, type Item } from './item.ts'
import type { LinearProgram } from './linear-program.ts'
import type { Taken } from './stretch-fill.ts'

const MICRO = 1e6
/** The library keeps to its rows only to a millionth: a piece in parts is asked for with so much more of it, which is then left off. */
export const MORE_THAN_WHOLE = 1 + 2e-6

type ItemInParts = Item & { split: NonNullable<Item['split']> }

/** Whether it may come in several parts: then it is one piece, since each of an order line is an item of its own. */
export function inParts(item: Item): item is ItemInParts {
  return item.split !== null && item.split.maxParts > 1
}

/** Where parts of a piece may lie. */
export interface PartsPlace {
  place: Place
  stretch: Fillable
  /** Rows that parts in the stretch take length from. */
  lengthRows: number[]
  /** Takes note of a column that gives so much of a piece, 1 for the whole of it. */
  enter: (amount: number, rows: number[], values: number[]) => void
}

interface Parts<Where> {
  where: Where
  option: number
  /** Columns: how many parts, and what they take together, in metres. */
  count: number
  length: number
}

/** A part that a solution cuts. */
interface CutPart<Where> {
  where: Where
  taken: Taken
}

/** A piece that may come in parts, in the program of what serves most: how many parts in each stretch, and how long they are together. */
export class PartsServed<Where> {
  readonly #item: ItemInParts
  readonly #lp: LinearProgram
  readonly #rules: CutRules
  readonly #demandRow: number
  readonly #partsRow: number
  readonly #parts: Parts<Where>[] = []

  constructor(item: ItemInParts, lp: LinearProgram, rules: CutRules, demandRow: number) {
    this.#item = item
    this.#lp = lp
    this.#rules = rules
    this.#demandRow = demandRow
    this.#partsRow = lp.addRow(Number.NEGATIVE_INFINITY, item.split.maxParts)
  }

  get wholeColumns(): number[] {
    return this.#parts.map((p) => p.count)
  }

  add(where: Where, { place, stretch, lengthRows, enter }: PartsPlace): void {
    const { split, declaredUm } = this.#item
    const { lengthGuardRatio, pieceTrimUm } = this.#rules
    const option = this.#optionAt(place)
    if (option === null) return
    const { mostDeclaredUm } = this.#item.options[option]!
    const leastUm = this.#cutUm(split.minUm)
    const mostUm = this.#cutUm(Math.min(declaredUm, mostDeclaredUm))
    const roomUm = stretch.toUm - stretch.fromUm
    const most = Math.min(split.maxParts, Math.floor(roomUm / leastUm))
    if (most === 0 || mostUm < leastUm) return
    const lp = this.#lp
    const leastRow = lp.addRow(0, Number.POSITIVE_INFINITY)
    const mostRow = lp.addRow(Number.NEGATIVE_INFINITY, 0)
    // what is declared is what is cut, less a trim for each part and the guard
    const shareOf = (um: number) => um / (1 + lengthGuardRatio) / declaredUm
    const column = (amount: number, upper: number, rows: number[], values: number[]) => {
      enter(amount / MORE_THAN_WHOLE, rows, values)
      return lp.addColumn(0, 0, upper, [this.#demandRow, ...rows], [amount, ...values])
    }
    const trim = -shareOf(pieceTrimUm)
    const bounds = [leastRow, mostRow]
    const ones = lengthRows.map(() => 1)
    this.#parts.push({
      where,
      option,
      count: column(trim, most, [...bounds, this.#partsRow], [-leastUm / MICRO, -mostUm / MICRO, 1]),
      length: column(shareOf(MICRO), Number.POSITIVE_INFINITY, [...bounds, ...lengthRows], [1, 1, ...ones]),
    })
  }

  /** The parts of a solution, none longer than together they must be. */
  cutBy(values: Float64Array): CutPart<Where>[] {
    const { index, split, declaredUm, options } = this.#item
    const { lengthGuardRatio, pieceTrimUm } = this.#rules
    const declaredOf = (cutUm: LengthUm) => declaredOfCutUm(cutUm, lengthGuardRatio, pieceTrimUm)
    const cut = this.#parts.flatMap(({ where, option, count, length }) => {
      const parts = Math.round(values[count]!)
      const eachUm = parts === 0 ? 0 : Math.floor((values[length]! * MICRO) / parts)
      const { group, mostDeclaredUm } = options[option]!
      const most = Math.min(mostDeclaredUm, declaredOf(eachUm))
      return Array.from({ length: parts }, () => ({ where, option, group, declaredUm: most }))
    })
    let overUm = cut.reduce((sum, p) => sum + p.declaredUm, -declaredUm)
    for (const part of cut) {
      const lessUm = Math.max(0, Math.min(overUm, part.declaredUm - split.minUm))
      part.declaredUm -= lessUm
      overUm -= lessUm
    }
    return cut.map(({ where, option, group, declaredUm: um }) => ({
      where,
      taken: { item: index, option, group, count: 1, cutUm: this.#cutUm(um) },
    }))
  }

  /** Of the put-ups that a place takes the cheapest that holds the piece in full, else the one that holds most. */
  #optionAt(place: Place): number | null {
    const full = optionFor(this.#item, [place])
    if (full) return full.option
    const { options } = this.#item
    let best: number | null = null
    for (const [o, { putup, mostDeclaredUm }] of options.entries())
      if (
        placeTakes(place, this.#item, putup) &&
        (best === null || mostDeclaredUm > options[best]!.mostDeclaredUm)
      )
        best = o
    return best
  }

  #cutUm(declaredUm: LengthUm): LengthUm {
    return bulkCutUm(declaredUm, this.#rules.lengthGuardRatio, this.#rules.pieceTrimUm)
  }
}
