import type { Costs } from '../../src/hall/costs.ts'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { Mounting } from '../../src/strip/cut-plan.ts'
import type { UsableDrum } from '../../src/strip/usable.ts'
import type { Draft, HiddenCut } from './drafts.ts'
import { pieces, wholeUm } from './hidden-cutting.ts'
import type { Random } from './random.ts'

/** Turns the drafts that found room into exactly `count` order lines, where splitting lines of several pieces can reach it. */
export function settleDrafts(random: Random, drafts: Draft[], count: number): Draft[] {
  const settled = drafts.filter((d) => d.cuts.length > 0)
  for (const { line, cuts } of settled) {
    if (line.singleLength) continue
    line.lengthUm = cuts.reduce((sum, c) => sum + c.declaredUm, 0)
    line.lengthTyped = String(line.lengthUm / wholeUm(line))
    line.minPieceUm = Math.min(line.minPieceUm ?? 0, line.lengthUm)
  }
  while (settled.length < count) {
    const divisible = settled.filter((d) => d.line.singleLength && d.group === null && pieces(d) >= 2)
    if (divisible.length === 0) break
    settled.push(splitOff(random.pick(divisible)))
  }
  return settled
}

/** Another customer's line for half of the pieces. */
function splitOff(draft: Draft): Draft {
  const other: Draft = { line: { ...draft.line }, wanted: draft.wanted, cuts: [], group: null }
  let toMove = Math.floor(pieces(draft) / 2)
  while (toMove > 0) {
    const cut = draft.cuts.pop()!
    const count = Math.min(toMove, cut.count)
    const eachUm = (cut.toUm - cut.fromUm) / cut.count
    const fromUm = cut.toUm - count * eachUm
    other.cuts.push({ ...cut, fromUm, count })
    if (count < cut.count) draft.cuts.push({ ...cut, toUm: fromUm, count: cut.count - count })
    toMove -= count
  }
  return other
}

/** Gives each draft its number, quantity and price. */
export function numberLines(random: Random, drafts: Draft[], costs: Costs): OrderLine[] {
  const last = new Map<string, OrderLine>()
  let number = 8100
  for (const { line, cuts } of drafts.map((d) => ({ ...d, line: d.line }))) {
    line.qty = line.singleLength ? cuts.reduce((sum, c) => sum + c.count, 0) : 1
    const same = last.get(`${line.customer} ${line.market}`)
    if (same && random.chance(0.2)) {
      line.order = same.order
      line.line = same.line + 1
    } else {
      line.order = String(++number)
      line.line = 1
    }
    last.set(`${line.customer} ${line.market}`, line)
    line.priceEur = price(random, line, costs)
  }
  return drafts.map((d) => d.line)
}

export function price(random: Random, line: OrderLine, costs: Costs): number {
  const cableEur =
    (costs.listPriceEurM[line.cable] ?? 0) * (line.lengthUm / 1e6) * random.decimal(0.95, 1.25, 3)
  const workEur = line.kind === 'lead' ? random.decimal(9, 18, 2) : 0.5
  return Number(((cableEur + workEur) * Math.max(1, line.qty)).toFixed(2))
}

/** The hidden cutting as mountings: proof that every order line can be served. */
export function hiddenMountings(
  drafts: Draft[],
  drums: Map<string, UsableDrum>,
  lineOf: Map<string, string>,
): Mounting[] {
  const cuts = new Map<string, { cut: HiddenCut; line: OrderLine; piece: number; part: number }[]>()
  for (const { line, cuts: own } of drafts) {
    let piece = 1
    for (const [i, cut] of own.entries()) {
      const list = cuts.get(cut.drum) ?? []
      cuts.set(cut.drum, list)
      list.push({ cut, line, piece: line.singleLength ? piece : 1, part: line.singleLength ? 1 : i + 1 })
      piece += cut.count
    }
  }
  return [...cuts].map(([drum, list]) => {
    const usable = drums.get(drum)!
    const mounting: Mounting = { drum, line: lineOf.get(drum)!, intervals: [] }
    let atUm = usable.good.fromUm
    if (atUm > 0) mounting.intervals.push({ fromUm: 0, toUm: atUm, use: 'end' })
    for (const { cut, line, piece, part } of list.sort((a, b) => a.cut.fromUm - b.cut.fromUm)) {
      if (cut.fromUm > atUm)
        mounting.intervals.push({ fromUm: atUm, toUm: cut.fromUm, use: 'scrap', cause: 'not wanted' })
      const { fromUm, toUm, putup, count, declaredUm } = cut
      mounting.intervals.push({
        fromUm,
        toUm,
        use: 'piece',
        order: line.order,
        orderLine: line.line,
        piece,
        part,
        count,
        declaredUm,
        putup,
      })
      atUm = toUm
    }
    if (usable.lengthUm > atUm)
      mounting.intervals.push({ fromUm: atUm, toUm: usable.lengthUm, use: 'remnant', putup: null })
    return mounting
  })
}
