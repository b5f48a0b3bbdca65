import { allowsFault } from '../../order/faults-allowed.ts'
import type { OrderLine } from '../../order/order-line.ts'
import type { Offer, Plan, Unserved } from '../../plan/plan.ts'
import type { PieceInterval } from '../../strip/cut-plan.ts'
import { cleanStretches, type UsableDrum } from '../../strip/usable.ts'

/** One stretch of a drum that is cut for an order line, with where it stands in the plan. */
export interface Source {
  mounting: number
  interval: number
  drum: string
  line: string
  piece: PieceInterval
}

/** What the plan says to one order line. */
export interface OrderAnswer {
  state: 'covered' | 'partly' | 'not covered' | 'not planned'
  sources: Source[]
  unserved: Unserved | null
  /** The longest clean stretch in stock for a line that no plan has looked at; null where there is none. */
  longest: Offer | null
}

export function lineKey(line: Pick<OrderLine, 'order' | 'line'>): string {
  return `${line.order}/${line.line}`
}

/** Every stretch that is cut, by the key of its order line, in the order of the plan. */
export function sourcesByLine(plan: Plan | null): Map<string, Source[]> {
  const byLine = new Map<string, Source[]>()
  plan?.mountings.forEach((mounting, m) => {
    mounting.intervals.forEach((piece, i) => {
      if (piece.use !== 'piece') return
      const key = `${piece.order}/${piece.orderLine}`
      const list = byLine.get(key) ?? []
      list.push({ mounting: m, interval: i, drum: mounting.drum, line: mounting.line, piece })
      byLine.set(key, list)
    })
  })
  return byLine
}

/** The longest stretch of one free drum of the line's cable that holds no fault the line refuses. */
export function longestClean(line: OrderLine, drums: UsableDrum[]): Offer | null {
  let best: Offer | null = null
  for (const usable of drums) {
    if (usable.drum.cable !== line.cable || usable.drum.status !== 'free') continue
    const refused = usable.zones
      .filter((zone) => !allowsFault(line, zone.fault))
      .map((zone) => ({ ...zone, fault: { ...zone.fault, severity: 'cut_out' as const } }))
    for (const stretch of cleanStretches(usable.good, refused)) {
      const lengthUm = stretch.toUm - stretch.fromUm
      if (!best || lengthUm > best.lengthUm) best = { lengthUm, drum: usable.drum.drum, lot: usable.drum.lot }
    }
  }
  return best
}

/** The answer to every order line, by its key. */
export function orderAnswers(
  orders: OrderLine[],
  plan: Plan | null,
  drums: UsableDrum[],
): Map<string, OrderAnswer> {
  const sources = sourcesByLine(plan)
  const unserved = new Map((plan?.unserved ?? []).map((u) => [`${u.order}/${u.orderLine}`, u]))
  return new Map(
    orders.map((line) => {
      const key = lineKey(line)
      const from = sources.get(key) ?? []
      const not = unserved.get(key) ?? null
      const state = not
        ? from.length > 0
          ? 'partly'
          : 'not covered'
        : from.length > 0
          ? 'covered'
          : 'not planned'
      const longest = state === 'not planned' ? longestClean(line, drums) : null
      return [key, { state, sources: from, unserved: not, longest }] as const
    }),
  )
}

/** Sources that follow one another on one drum, as one stretch. */
export function stretchesOf(
  sources: Source[],
): { drum: string; fromUm: number; toUm: number; pieces: number; first: Source }[] {
  const stretches: {
    drum: string
    fromUm: number
    toUm: number
    pieces: number
    first: Source
    last: Source
  }[] = []
  for (const source of sources) {
    const before = stretches[stretches.length - 1]
    const pieces = source.piece.part === 1 ? source.piece.count : 0
    if (before && before.last.mounting === source.mounting && before.last.interval === source.interval - 1) {
      before.toUm = source.piece.toUm
      before.pieces += pieces
      before.last = source
    } else {
      const { fromUm, toUm } = source.piece
      stretches.push({ drum: source.drum, fromUm, toUm, pieces, first: source, last: source })
    }
  }
  return stretches.map(({ drum, fromUm, toUm, pieces, first }) => ({ drum, fromUm, toUm, pieces, first }))
}
