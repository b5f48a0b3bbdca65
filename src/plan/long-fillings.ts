import type { MicroEur } from '../quantity/money.ts'
import { bit, bitsFor, has, putupsIn } from './putup-bits.ts'
import { RelaxedFill } from './relaxed-fill.ts'
import { type OfferShape, offeredAt } from './relaxed-offers.ts'
import type { Offered, Taken } from './stretch-fill.ts'

/** Put-ups of short pieces that a change is reckoned for; each doubles the work. */
const MOST_PAID = 4

/** Put-ups, bit by bit, that are paid for on a drum and then free, and that nothing on it may be on. */
export interface PutupBranch {
  required: number
  barred: number
}

/** What of a stretch is in use: some put-ups for certain, bit by bit, and perhaps no others. */
export interface PutupUse {
  putups: number
  only: boolean
}

/** What short pieces earn by cells where these put-ups are paid for, of all that could be. */
export interface Filling {
  table: Float64Array
  used: number
  mine: number
}

/** The short pieces that may lie in a stretch. */
export interface ShortPieces {
  shapes: OfferShape[]
  cellUm: number
  /** Put-ups whose change is paid for; of more than a few the rest is let in for nothing. */
  paid: number[]
  /** The same for all that are alike. */
  number: number
}

/** Fillings of stretches with short pieces at given prices; what is alike, on other drums or at other lines, is filled once. */
export class LongFillings {
  readonly #fill = new RelaxedFill()
  readonly #numbers = new Map<string, number>()
  readonly #known = new Map<string, { room: number; fillings: Filling[] }>()
  #prices: Float64Array = new Float64Array(0)
  #caps: Float64Array = new Float64Array(0)

  /** Stretches filled so far: the measure of work. */
  get runs(): number {
    return this.#fill.runs
  }

  shortPieces(shapes: OfferShape[], cellUm: number): ShortPieces {
    const name = `${cellUm} ${JSON.stringify(shapes)}`
    const number = this.#numbers.get(name) ?? this.#numbers.size
    this.#numbers.set(name, number)
    return { shapes, cellUm, paid: mostOffered(shapes), number }
  }

  /** By item: prices, and copies that a drum may give. */
  begin(prices: Float64Array, caps: Float64Array): void {
    this.#prices = prices
    this.#caps = caps
    this.#known.clear()
  }

  /** What short pieces earn by cells, with each set of the put-ups that are paid for; of `room` cells at least. */
  of(short: ShortPieces, branch: PutupBranch, room: number): Filling[] {
    const name = nameOf(short, branch)
    const known = this.#known.get(name)
    if (known && known.room >= room) return known.fillings
    const fillings = this.#filled(short, branch, room)
    this.#known.set(name, { room, fillings })
    return fillings
  }

  /** The pieces behind what so many cells earn where these put-ups are in use. */
  taken(short: ShortPieces, branch: PutupBranch, used: number, cells: number): Taken[] {
    const within = this.#offered(short, branch).filter(
      (o) => has(used | branch.required, o.group) || !short.paid.includes(o.group),
    )
    // of as much room as it was found with: with less, pieces would be rounded otherwise, and others come out
    const room = this.#known.get(nameOf(short, branch))?.room ?? cells
    this.#fill.run(room * short.cellUm, short.cellUm, within, () => 0)
    return this.#fill.taken(cells)
  }

  #filled(short: ShortPieces, branch: PutupBranch, room: number): Filling[] {
    const { paid, cellUm } = short
    const offered = this.#offered(short, branch)
    const putups = paid.filter((p) => !has(branch.required, p) && offered.some((o) => o.group === p))
    const mine = bitsFor(putups)
    const piecesOn = (putup: number) => {
      const within = offered.filter((o) => o.group === putup)
      return this.#fill.prepare(within, room, cellUm)
    }
    let table: Float64Array = new Float64Array(room + 1)
    for (const putup of new Set(offered.map((o) => o.group)))
      if (!has(mine, putup)) table = this.#fill.more(table, piecesOn(putup), cellUm)
    const fillings: Filling[] = [{ table, used: 0, mine }]
    // each further put-up joins what the ones before it are filled in with, so that none is filled in twice
    for (const putup of putups) {
      const more = piecesOn(putup)
      for (const { table, used } of [...fillings])
        fillings.push({ table: this.#fill.more(table, more, cellUm), used: used | bit(putup), mine })
    }
    return fillings
  }

  #offered({ shapes }: ShortPieces, { barred }: PutupBranch): Offered[] {
    return offeredAt(shapes, this.#prices, this.#caps).filter((o) => !has(barred, o.group))
  }
}

function nameOf({ number }: ShortPieces, { required, barred }: PutupBranch): string {
  return `${number} ${required} ${barred}`
}

/** What is paid for put-ups where short pieces are on some and long ones on others; null where that is not as it is asked. */
export function paidFor(
  { used, mine }: Filling,
  putups: number,
  { putups: asked, only }: PutupUse,
  changeMicro: MicroEur,
): MicroEur | null {
  // a put-up that long pieces are on is free for short ones
  if ((putups & mine & ~used) !== 0) return null
  const all = used | putups
  if ((asked & ~all) !== 0 || (only && all !== asked)) return null
  return putupsIn(all).length * changeMicro
}

/** The most of all fillings that something is paid with, less that; false where there are none. */
export function mostOf(fillings: Filling[], paidMicro: (MicroEur | null)[], most: Float64Array): boolean {
  let any = false
  for (const [f, { table }] of fillings.entries()) {
    const paid = paidMicro[f] ?? null
    if (paid === null) continue
    if (any) {
      for (let x = 0; x < most.length; x++) {
        const value = table[x]! - paid
        if (value > most[x]!) most[x] = value
      }
    } else for (let x = 0; x < most.length; x++) most[x] = table[x]! - paid
    any = true
  }
  return any
}

/** The put-ups with most length on offer. */
function mostOffered(shapes: OfferShape[]): number[] {
  const lengths = new Map<number, number>()
  for (const s of shapes) lengths.set(s.group, (lengths.get(s.group) ?? 0) + s.copies * s.cutUm)
  return [...lengths]
    .sort((a, b) => b[1] - a[1])
    .slice(0, MOST_PAID)
    .map(([putup]) => putup)
}
