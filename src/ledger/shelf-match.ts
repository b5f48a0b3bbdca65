import { allowsFault } from '../order/faults-allowed.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { sharePct } from '../plan/tally.ts'
import { materialMicro, unservedMicro } from '../plan/tariff.ts'
import type { MicroEur } from '../quantity/money.ts'
import { bestAssignment } from './best-assignment.ts'
import { type ShelfPiece, STOCK_ORDER } from './shelf-piece.ts'

/** A piece of the shelf that is to go to an order line. */
export interface ShelfMatch {
  serial: string
  order: string
  orderLine: number
  /** What it is worth to give it there. */
  worthMicro: MicroEur
}

export interface ShelfMatches {
  matches: ShelfMatch[]
  /** Pieces and order lines that were not looked at, since there were too many of one cable. */
  leftOut: number
  /** False where so many lot groups ask at once that their lots were chosen one after another. */
  exact: boolean
}

/** Of one cable at most so many pieces (the oldest) and order lines (the earliest due) are looked at. */
const MOST_PIECES = 400
const MOST_LINES = 400
/** Choices of lots for the groups of one cable that are tried together. */
const MOST_CHOICES = 64
/** Above any sum of worths, and small enough that so many of them stay exact. */
const MUST_MICRO = 10_000_000_000_000

/**
 * Which pieces of the shelf serve which order lines: each piece as a whole piece of a line, none cut. The sum of worths is the
 * greatest possible. A line takes a piece whose declared length lies within its tolerances, on its put-up, of wood its market
 * takes, with no fault that it forbids; the label is printed anew in the market's words. Lines that must come from one lot are
 * served all together from one lot of the shelf or not at all, since what is cut for the others has no reason to be of that lot.
 * Worth (the works' own rule): the weight of the piece in the plan's service, and its material as far as it is paid for,
 * less what is given away; among equals the oldest piece goes first.
 */
export function matchShelf(
  input: Pick<PlanInput, 'orders' | 'markets' | 'putups' | 'costs' | 'site'>,
  pieces: readonly ShelfPiece[],
): ShelfMatches {
  const found: ShelfMatches = { matches: [], leftOut: 0, exact: true }
  for (const cable of new Set(pieces.map((p) => p.cable))) {
    const shelf = pieces.filter((p) => p.cable === cable)
    const lines = input.orders
      .filter((o) => o.cable === cable && o.kind === 'bulk' && o.order !== STOCK_ORDER && o.qty > 0)
      .sort((a, b) => (a.dueDate < b.dueDate ? -1 : a.dueDate > b.dueDate ? 1 : 0))
    found.leftOut += Math.max(0, shelf.length - MOST_PIECES) + Math.max(0, lines.length - MOST_LINES)
    const asked = new CableMatch(input, shelf.slice(0, MOST_PIECES), lines.slice(0, MOST_LINES))
    const { matches, exact } = asked.solve()
    found.matches.push(...matches)
    found.exact &&= exact
  }
  return found
}

/** Whether this piece may be delivered as a whole piece of this line; the lot of a group is not looked at. */
export function pieceFits(
  { markets, putups }: Pick<PlanInput, 'markets' | 'putups'>,
  piece: ShelfPiece,
  line: OrderLine,
): boolean {
  if (line.kind !== 'bulk' || line.cable !== piece.cable || piece.putup === null) return false
  if (line.putup !== null && line.putup !== piece.putup) return false
  const least = line.lengthUm - sharePct(line.lengthUm, line.tolMinusPct)
  const most = line.lengthUm + sharePct(line.lengthUm, line.tolPlusPct)
  if (piece.declaredUm < least || piece.declaredUm > most) return false
  const putup = putups.find((p) => p.putup === piece.putup)
  const market = markets.find((m) => m.market === line.market)
  if (!putup || !market || (putup.woodMark === 'unmarked' && market.woodRule !== 'none')) return false
  return piece.faults.every((fault) => allowsFault(line, fault))
}

type Choice = ReadonlyMap<string, string | null>

class CableMatch {
  readonly #pieces: readonly ShelfPiece[]
  readonly #lines: readonly OrderLine[]
  readonly #worth: (number | null)[][]

  constructor(input: Parameters<typeof matchShelf>[0], pieces: readonly ShelfPiece[], lines: OrderLine[]) {
    this.#pieces = pieces
    this.#lines = lines
    const today = input.site.works.todayDate
    this.#worth = pieces.map((piece, i) =>
      lines.map((line) => (pieceFits(input, piece, line) ? worthOf(input, piece, line, today) - i : null)),
    )
  }

  solve(): { matches: ShelfMatch[]; exact: boolean } {
    const groups = [...new Set(this.#lines.flatMap((l) => l.sameLotGroup ?? []))]
    const lots = groups.map((group) => [null, ...this.#lotsFor(group)])
    const choices = lots.reduce((n, l) => n * l.length, 1)
    if (choices <= MOST_CHOICES) {
      const best = bestOf(combinations(groups, lots).map((choice) => this.#under(choice)))
      return { matches: best?.matches ?? [], exact: true }
    }
    let choice: Choice = new Map(groups.map((g) => [g, null]))
    for (const [i, group] of groups.entries()) {
      const tried = (lots[i] ?? []).map((lot) => this.#under(new Map(choice).set(group, lot)))
      choice = bestOf(tried)?.choice ?? choice
    }
    return { matches: this.#under(choice)?.matches ?? [], exact: false }
  }

  /** Lots of the shelf that have as many pieces as the whole group asks for. */
  #lotsFor(group: string): string[] {
    const asked = this.#lines.filter((l) => l.sameLotGroup === group).reduce((n, l) => n + l.qty, 0)
    const byLot = new Map<string, number>()
    for (const [i, piece] of this.#pieces.entries())
      if (this.#lines.some((l, j) => l.sameLotGroup === group && this.#worth[i]![j] !== null))
        byLot.set(piece.lot, (byLot.get(piece.lot) ?? 0) + 1)
    return [...byLot].filter(([, n]) => n >= asked).map(([lot]) => lot)
  }

  /** The best with these lots: null where a group that has a lot cannot be served whole. */
  #under(choice: Choice): Found | null {
    const lotOf = (line: OrderLine) =>
      line.sameLotGroup === null ? undefined : (choice.get(line.sameLotGroup) ?? null)
    const worth = this.#worth.map((row, i) =>
      row.map((w, j) => {
        const lot = lotOf(this.#lines[j]!)
        if (w === null || lot === undefined) return w
        return lot === this.#pieces[i]!.lot ? w + MUST_MICRO : null
      }),
    )
    const given = bestAssignment(
      worth,
      this.#lines.map((l) => l.qty),
    )
    const counts = this.#lines.map((_, j) => given.filter((column) => column === j).length)
    if (this.#lines.some((l, j) => (lotOf(l) ?? null) !== null && counts[j] !== l.qty)) return null
    const matches = given.flatMap((column, i) => {
      if (column === null) return []
      const { order, line: orderLine } = this.#lines[column]!
      return [{ serial: this.#pieces[i]!.serial, order, orderLine, worthMicro: this.#worth[i]![column]! }]
    })
    return { choice, matches, worthMicro: matches.reduce((sum, m) => sum + m.worthMicro, 0) }
  }
}

interface Found {
  choice: Choice
  matches: ShelfMatch[]
  worthMicro: number
}

function bestOf(found: (Found | null)[]): Found | null {
  return found.reduce((a, b) => (b && (!a || b.worthMicro > a.worthMicro) ? b : a), null)
}

function combinations(groups: string[], lots: (string | null)[][]): Choice[] {
  let all: Map<string, string | null>[] = [new Map()]
  for (const [i, group] of groups.entries())
    all = all.flatMap((choice) => lots[i]!.map((lot) => new Map(choice).set(group, lot)))
  return all
}

function worthOf(
  { costs }: Pick<PlanInput, 'costs'>,
  { cable, declaredUm }: ShelfPiece,
  line: OrderLine,
  today: string,
): MicroEur {
  const paidUm = Math.min(declaredUm, line.lengthUm)
  return (
    unservedMicro(line, 1, today) +
    materialMicro(costs, cable, paidUm) -
    materialMicro(costs, cable, declaredUm - paidUm)
  )
}
