import { allowsFault } from '../../src/order/faults-allowed.ts'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { putupCapacityM } from '../../src/putup/capacity.ts'
import type { Interval, Mounting } from '../../src/strip/cut-plan.ts'
import { type UsableDrum, usableDrum } from '../../src/strip/usable.ts'

/** A piece, or a part of one, that a plan may cut. */
export interface Unit {
  order: OrderLine
  piece: number
  part: number
  /** Most and least that may be declared. */
  mostUm: number
  leastUm: number
}

interface Placed {
  unit: Unit
  putup: string | null
  fromUm: number
  toUm: number
  declaredUm: number
}

interface WindOff {
  putup: string
  mostUm: number
}

/** Every way worth trying to cut a drum at one place, as mountings with the units they hold as a bit mask. */
export class EveryMounting {
  readonly #input: PlanInput
  readonly #usable: UsableDrum
  readonly #units: Unit[]
  readonly #place: string
  readonly #onLine: boolean
  readonly #windOffs: WindOff[]
  readonly #visit: (mask: number, mounting: Mounting) => void

  constructor(
    input: PlanInput,
    drum: string,
    place: string,
    units: Unit[],
    visit: (mask: number, mounting: Mounting) => void,
  ) {
    this.#input = input
    const row = input.drums.find((d) => d.drum === drum)!
    this.#usable = usableDrum(
      row,
      input.marks.filter((m) => m.drum === drum),
      input.faults.filter((f) => f.drum === drum),
      input.site.cutRules,
    )
    this.#units = units
    this.#place = place
    this.#visit = visit
    const line = input.site.lines.find((l) => l.id === place)
    this.#onLine = line !== undefined
    const cable = input.cables.find((c) => c.cable === row.cable)!
    this.#windOffs = input.putups
      .filter((p) => p.kind !== 'process_drum' && line?.takeupPutups.includes(p.putup))
      .filter((p) => p.barrelMm >= cable.barrelMinMm)
      .map((p) => {
        const mostM = Math.min(
          putupCapacityM(p, cable, input.site.putupRules),
          (p.payloadKg * 1000) / cable.massKgKm,
        )
        return { putup: p.putup, mostUm: Math.floor(mostM * 1e6) - 1 }
      })
  }

  run(): void {
    this.#walk(this.#usable.good.fromUm, 0, [])
  }

  #walk(atUm: number, mask: number, placed: Placed[]): void {
    if (mask !== 0) this.#finish(mask, placed)
    for (const [i, unit] of this.#units.entries()) {
      if (mask & (1 << i)) continue
      // pieces of one line are alike: within a drum they come in their order
      const outOfTurn = (u: Unit, j: number) =>
        j > i && mask & (1 << j) && u.order === unit.order && u.mostUm === unit.mostUm
      if (this.#units.some(outOfTurn)) continue
      for (const putup of this.#putupsFor(unit))
        for (const fromUm of [atUm, ...this.#usable.zones.map((z) => z.toUm).filter((x) => x > atUm)])
          for (const { cutUm, declaredUm } of this.#lengths(unit, fromUm)) {
            const toUm = fromUm + cutUm
            if (!this.#clear(unit, fromUm, toUm)) continue
            this.#walk(toUm, mask | (1 << i), [...placed, { unit, putup, fromUm, toUm, declaredUm }])
          }
    }
  }

  #putupsFor({ order }: Unit): (string | null)[] {
    if (order.kind === 'lead') return [null]
    if (!this.#onLine) return []
    return order.putup !== null
      ? [order.putup]
      : this.#input.putups.filter((p) => p.kind !== 'process_drum').map((p) => p.putup)
  }

  /** Full length, shortest, and as much as there is up to what hinders it next. */
  #lengths(unit: Unit, fromUm: number): { cutUm: number; declaredUm: number }[] {
    const { lengthGuardRatio, pieceTrimUm, leadTrimUm } = this.#input.site.cutRules
    if (unit.order.kind === 'lead') return [{ cutUm: unit.mostUm + leadTrimUm, declaredUm: unit.mostUm }]
    const cut = (declaredUm: number) => Math.ceil(declaredUm * (1 + lengthGuardRatio) + pieceTrimUm - 0.01)
    const lengths = [{ cutUm: cut(unit.mostUm), declaredUm: unit.mostUm }]
    if (unit.leastUm === unit.mostUm) return lengths
    lengths.push({ cutUm: cut(unit.leastUm), declaredUm: unit.leastUm })
    const ends = [this.#usable.good.toUm, ...this.#usable.zones.map((z) => z.fromUm)]
    for (const endUm of ends) {
      const declaredUm = Math.floor((endUm - fromUm - pieceTrimUm) / (1 + lengthGuardRatio))
      if (declaredUm > unit.leastUm && declaredUm < unit.mostUm)
        lengths.push({ cutUm: endUm - fromUm, declaredUm })
    }
    return lengths
  }

  #clear(unit: Unit, fromUm: number, toUm: number): boolean {
    const { good, zones } = this.#usable
    return (
      toUm <= good.toUm &&
      zones.every((z) => z.toUm <= fromUm || z.fromUm >= toUm || allowsFault(unit.order, z.fault))
    )
  }

  /** All that can be done with the gaps and the rest. */
  #finish(mask: number, placed: Placed[]): void {
    const { good, lengthUm, zones } = this.#usable
    const atUm = placed.at(-1)!.toUm
    const end: Interval[] = lengthUm > good.toUm ? [{ fromUm: good.toUm, toUm: lengthUm, use: 'end' }] : []
    const rests: Interval[][] = [[...scrap(atUm, good.toUm), ...end]]
    for (const fromUm of [atUm, ...zones.map((z) => z.toUm).filter((x) => x > atUm && x < good.toUm)]) {
      if (fromUm >= good.toUm) continue
      rests.push([...scrap(atUm, fromUm), { fromUm, toUm: good.toUm, use: 'remnant', putup: null }, ...end])
      rests.push([...scrap(atUm, fromUm), { fromUm, toUm: lengthUm, use: 'remnant', putup: null }])
    }
    const outer: Interval[] = good.fromUm > 0 ? [{ fromUm: 0, toUm: good.fromUm, use: 'end' }] : []
    for (const middle of this.#bodies(placed))
      for (const rest of rests) {
        const intervals = [...outer, ...middle, ...rest]
        this.#visit(mask, { drum: this.#usable.drum.drum, line: this.#place, intervals })
      }
  }

  /** The pieces with the gaps before them, each as scrap or wound off. */
  #bodies(placed: Placed[]): Interval[][] {
    let bodies: Interval[][] = [[]]
    let run: Placed[] = []
    let atUm = this.#usable.good.fromUm
    for (const p of placed) {
      if (p.fromUm > atUm) {
        const ways = this.#gap(run, atUm, p.fromUm)
        bodies = bodies.flatMap((b) => ways.map((w) => [...b, ...w]))
        run = []
      }
      run.push(p)
      atUm = p.toUm
    }
    return bodies.map((b) => [...b, ...run.map(asInterval)])
  }

  /** A run of pieces with the gap at its inner end: scrap, or what is clean of it wound off, there or further out. */
  #gap(run: Placed[], fromUm: number, toUm: number): Interval[][] {
    const pieces = run.map(asInterval)
    const ways: Interval[][] = [[...pieces, ...scrap(fromUm, toUm)]]
    const cleans = this.#usable.clean
      .map((c) => ({ fromUm: Math.max(c.fromUm, fromUm), toUm: Math.min(c.toUm, toUm) }))
      .filter((c) => c.toUm > c.fromUm)
    // one after the other, and all in one length with the faults between them
    let tails: Interval[][] = [[]]
    let at = fromUm
    for (const c of cleans) {
      const before = scrap(at, c.fromUm)
      tails = tails.flatMap((t) => [
        [...t, ...before, ...scrap(c.fromUm, c.toUm)],
        ...this.#windOffs.map((w) => [...t, ...before, ...wound(w, c.fromUm, c.toUm)]),
      ])
      at = c.toUm
    }
    ways.push(...tails.map((t) => [...pieces, ...t, ...scrap(at, toUm)]))
    if (cleans.length > 1)
      for (const w of this.#windOffs)
        if (toUm - fromUm <= w.mostUm) ways.push([...pieces, ...wound(w, fromUm, toUm)])
    const first = cleans[0]
    if (first && first.fromUm === fromUm) ways.push(...this.#shifted(run, first.toUm - fromUm, toUm))
    return ways
  }

  /** The gap of a run wound off between its pieces. */
  #shifted(run: Placed[], gapUm: number, toUm: number): Interval[][] {
    const ways: Interval[][] = []
    for (let j = 1; j < run.length; j++) {
      const later = run.slice(j).map((p) => ({ ...p, fromUm: p.fromUm + gapUm, toUm: p.toUm + gapUm }))
      if (!later.every((p) => this.#clear(p.unit, p.fromUm, p.toUm))) continue
      const atUm = run[j]!.fromUm
      for (const w of this.#windOffs)
        ways.push([
          ...run.slice(0, j).map(asInterval),
          ...wound(w, atUm, atUm + gapUm),
          ...later.map(asInterval),
          ...scrap(later.at(-1)!.toUm, toUm),
        ])
    }
    return ways
  }
}

function asInterval({ unit, putup, fromUm, toUm, declaredUm }: Placed): Interval {
  const { order, piece, part } = unit
  return {
    fromUm,
    toUm,
    use: 'piece',
    order: order.order,
    orderLine: order.line,
    piece,
    part,
    count: 1,
    declaredUm,
    putup,
  }
}

function scrap(fromUm: number, toUm: number): Interval[] {
  return toUm > fromUm ? [{ fromUm, toUm, use: 'scrap', cause: 'tried' }] : []
}

/** As much as the put-up holds. */
function wound({ putup, mostUm }: WindOff, fromUm: number, toUm: number): Interval[] {
  const endUm = Math.min(toUm, fromUm + mostUm)
  return [{ fromUm, toUm: endUm, use: 'remnant', putup }, ...scrap(endUm, toUm)]
}
