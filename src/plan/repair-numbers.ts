import type { Interval, PieceInterval } from '../strip/cut-plan.ts'
import { orderKey } from './catalog.ts'
import type { Item } from './item.ts'
import type { LaidInterval } from './pattern.ts'
import type { OpenType } from './repair-instance.ts'

type LaidPiece = Extract<LaidInterval, { use: 'piece' }>
interface Place {
  drum: string
  fromUm: number
}

/**
 * Gives the pieces of changed mountings their numbers: what stays keeps its number, a piece that comes to lie where it lay
 * gets its old one, the others those that are left, the most valuable lines served and of them those due first cut first.
 */
export class PieceNumbers {
  readonly #type: OpenType
  /** Numbers in use, by order line. */
  readonly #used = new Map<string, Set<number>>()
  /** Parts in use, by order line and piece. */
  readonly #parts = new Map<string, Set<number>>()
  readonly #oldAt = new Map<string, PieceInterval>()

  /** `old`: the mountings before; `staying`: intervals that keep their numbers. */
  constructor(type: OpenType, old: { drum: string; intervals: Interval[] }[], staying: Interval[]) {
    this.#type = type
    for (const { drum, intervals } of old)
      for (const i of intervals)
        if (i.use === 'piece') this.#oldAt.set(placeKey({ drum, fromUm: i.fromUm }), i)
    for (const i of staying) if (i.use === 'piece') this.#take(i)
  }

  /** The laid pieces of all changed mountings at once, in their order; the answer has the same order. */
  give(laid: (LaidPiece & { drum: string })[]): PieceInterval[] {
    const given = new Map<number, PieceInterval>()
    // a piece where it lay before
    for (const [at, piece] of laid.entries()) {
      const old = this.#oldAt.get(placeKey(piece))
      if (!old || !this.#isFree(piece.item, old)) continue
      given.set(at, this.#named(piece, orderKey(old.order, old.orderLine), old.piece))
    }
    for (const item of this.#type.instance.items) {
      const open = laid.flatMap((p, at) => (p.item === item.index && !given.has(at) ? [at] : []))
      const names = this.#namesFor(item, open.length)
      for (const [n, at] of open.entries())
        given.set(at, this.#named(laid[at]!, names[n]!.key, names[n]!.piece))
    }
    return laid.map((_, at) => given.get(at)!)
  }

  /** The most valuable lines get what there is; those due first come first. */
  #namesFor(item: Item, wanted: number): { key: string; piece: number }[] {
    const sources = this.#type.pieces.get(item.index)!
    if (item.split)
      return Array.from({ length: wanted }, () => ({ key: sources[0]!.key, piece: sources[0]!.pieces[0]! }))
    const free = item.lines.flatMap((line, i) => {
      const { key, pieces } = sources[i]!
      const used = this.#used.get(key)
      return pieces.filter((n) => !used?.has(n)).map((piece) => ({ key, piece, due: line.order.dueDate }))
    })
    return free.slice(0, wanted).sort((a, b) => a.due.localeCompare(b.due))
  }

  #isFree(item: number, old: PieceInterval): boolean {
    const key = orderKey(old.order, old.orderLine)
    const source = this.#type.pieces.get(item)!.find((s) => s.key === key && s.pieces.includes(old.piece))
    if (!source) return false
    return this.#type.instance.items[item]!.split !== null || !this.#used.get(key)?.has(old.piece)
  }

  #named(laid: LaidPiece, key: string, piece: number): PieceInterval {
    const item = this.#type.instance.items[laid.item]!
    const { order } = item.lines.find((l) => orderKey(l.order.order, l.order.line) === key)!
    const named: PieceInterval = {
      fromUm: laid.fromUm,
      toUm: laid.toUm,
      use: 'piece',
      order: order.order,
      orderLine: order.line,
      piece,
      part: item.split ? this.#nextPart(`${key} ${piece}`) : 1,
      count: 1,
      declaredUm: laid.declaredUm,
      putup: item.options[laid.option]!.putup,
    }
    this.#take(named)
    return named
  }

  #nextPart(piece: string): number {
    let part = 1
    while (this.#parts.get(piece)?.has(part)) part++
    return part
  }

  #take({ order, orderLine, piece, part, count }: PieceInterval): void {
    const key = orderKey(order, orderLine)
    const used = this.#used.get(key) ?? new Set<number>()
    this.#used.set(key, used)
    for (let n = 0; n < count; n++) used.add(piece + n)
    const parts = this.#parts.get(`${key} ${piece}`) ?? new Set<number>()
    this.#parts.set(`${key} ${piece}`, parts.add(part))
  }
}

function placeKey({ drum, fromUm }: Place): string {
  return `${fromUm} ${drum}`
}
