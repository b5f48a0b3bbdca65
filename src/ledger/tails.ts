import type { OrderLine } from '../order/order-line.ts'
import { bulkCutUm } from '../plan/item.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { materialMicro } from '../plan/tariff.ts'
import { verifyPlan } from '../plan/verify.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { Mounting } from '../strip/cut-plan.ts'
import type { LevelStanding } from './minimum-levels.ts'
import { STOCK_ORDER } from './shelf-piece.ts'
import { nextStockLine, stockOrderLine } from './stock-order.ts'
import { tailsOf, withTail } from './tail.ts'
import { coilMicro, type TailOption, tailOptions, type WantedCoil } from './tail-options.ts'

/** Coils of one kind to be cut from one tail. */
export interface TailCut {
  /** Number of the mounting, from 1. */
  mounting: number
  drum: string
  cable: string
  putup: string
  lengthUm: LengthUm
  pieces: number
}

/** Standard coils out of what today's drums leave over, as a plan of the works with order lines of its own. */
export interface TailProposal {
  /** Order lines that are added to the works. */
  lines: OrderLine[]
  plan: Plan
  cuts: TailCut[]
  /** What is saved: cost of the plan before and after, less put-ups, labels and minutes of the coils. */
  gainMicro: MicroEur
  /** Put-ups, labels and minutes of the coils: what the plan's own cost leaves out. */
  handlingMicro: MicroEur
}

/** Ways to share the tails of one cable that are kept at a time. */
const MOST_STATES = 3000

/**
 * Turns tails of a plan into coils that lack on the shelf where that pays; null where none lacks or none pays. What is cut for
 * customers stays as it is. For each cable the best sharing of what lacks over the tails, tail by tail (dynamic programming over
 * how many of each kind are made); a tail's worth is that of the drum with nothing else changed, and the whole is priced again
 * by plan/verify.ts at the end. The bound of the plan stays proven: without the coils a plan costs at most their material more.
 */
export function coilsFromTails(
  input: PlanInput,
  plan: Plan,
  standings: readonly LevelStanding[],
): TailProposal | null {
  const lacking = standings.filter((s) => s.short > 0)
  if (lacking.length === 0) return null
  const { coils, works: wide } = enlarged(input, lacking, (s) => s.short)
  const chosen = bestSharing(wide, plan.mountings, coils)
  if (chosen.length === 0) return null
  const made = coils.map((_, k) => chosen.reduce((n, { option }) => n + option.counts[k]!, 0))
  const kept = lacking.filter((_, k) => made[k]! > 0)
  const { works, lines } = enlarged(input, kept, (s) => made[lacking.indexOf(s)]!)
  const lineNumbers = new Map(kept.map((s, i) => [coils[lacking.indexOf(s)]!.orderLine, lines[i]!.line]))
  const mountings = numbered(withChosen(plan.mountings, chosen), input, lineNumbers)
  return concluded(input, works, { plan, mountings, lines, chosen, coils })
}

interface Chosen {
  mounting: number
  interval: number
  drum: string
  line: string
  option: TailOption
}

/** One way to share the tails so far. */
interface Sharing {
  made: number[]
  gainMicro: MicroEur
  chosen: Chosen[]
}

function enlarged(input: PlanInput, lacking: readonly LevelStanding[], qtyOf: (s: LevelStanding) => number) {
  const first = nextStockLine(input.orders)
  const { lengthGuardRatio, pieceTrimUm } = input.site.cutRules
  const lines = lacking.map((s, i) => stockOrderLine(input, s, first + i, qtyOf(s)))
  const coils: WantedCoil[] = lines.map((line, kind) => ({
    ...{ kind, order: line.order, orderLine: line.line, putup: line.putup ?? '', cable: line.cable },
    ...{ declaredUm: line.lengthUm, cutUm: bulkCutUm(line.lengthUm, lengthGuardRatio, pieceTrimUm) },
    short: line.qty,
  }))
  return { lines, coils, works: { ...input, orders: [...input.orders, ...lines] } }
}

function bestSharing(works: PlanInput, mountings: Mounting[], coils: WantedCoil[]): Chosen[] {
  const tails = tailsOf(works, mountings)
  const chosen: Chosen[] = []
  for (const cable of new Set(coils.map((c) => c.cable))) {
    let states: Sharing[] = [{ made: coils.map(() => 0), gainMicro: 0, chosen: [] }]
    for (const tail of tails.filter((t) => t.cable === cable)) {
      const { mounting, interval, drum, line } = tail
      const options = tailOptions(works, mountings, tail, coils)
      const next = new Map<string, Sharing>(states.map((s) => [s.made.join(), s]))
      for (const state of states)
        for (const option of options) {
          const made = state.made.map((n, k) => n + option.counts[k]!)
          if (made.some((n, k) => n > coils[k]!.short)) continue
          const gainMicro = state.gainMicro + option.gainMicro
          const key = made.join()
          if (gainMicro > (next.get(key)?.gainMicro ?? Number.NEGATIVE_INFINITY))
            next.set(key, {
              made,
              gainMicro,
              chosen: [...state.chosen, { mounting, interval, drum, line, option }],
            })
        }
      states = [...next.values()].sort((a, b) => b.gainMicro - a.gainMicro).slice(0, MOST_STATES)
    }
    chosen.push(...(states[0]?.chosen ?? []))
  }
  return chosen
}

/** Innermost tail of a mounting first, so that the numbers of the intervals outside it hold. */
function withChosen(mountings: Mounting[], chosen: Chosen[]): Mounting[] {
  const changed = [...mountings]
  for (const { mounting, interval, option } of [...chosen].sort((a, b) => b.interval - a.interval))
    changed[mounting] = withTail(changed[mounting]!, interval, option.instead)
  return changed
}

/** Gives the new pieces the numbers of their final lines, in the order of cutting. */
function numbered(mountings: Mounting[], input: PlanInput, lines: Map<number, number>): Mounting[] {
  const first = nextStockLine(input.orders)
  const given = new Map<number, number>()
  return mountings.map((m) => ({
    ...m,
    intervals: m.intervals.map((cut) => {
      if (cut.use !== 'piece' || cut.order !== STOCK_ORDER || cut.orderLine < first) return cut
      const orderLine = lines.get(cut.orderLine) ?? cut.orderLine
      const piece = (given.get(orderLine) ?? 0) + 1
      given.set(orderLine, piece)
      return { ...cut, orderLine, piece }
    }),
  }))
}

function concluded(
  input: PlanInput,
  works: PlanInput,
  found: { plan: Plan; mountings: Mounting[]; lines: OrderLine[]; chosen: Chosen[]; coils: WantedCoil[] },
): TailProposal | null {
  const { plan, mountings, lines, chosen, coils } = found
  const before = verifyPlan(input, plan)
  const after = verifyPlan(works, { mountings, unserved: plan.unserved })
  const lineOf = new Map(input.site.lines.map((l) => [l.id, l]))
  const handlingMicro = chosen.reduce(
    (sum, { line, option }) =>
      sum + option.counts.reduce((s, n, k) => s + n * coilMicro(input, lineOf.get(line)!, coils[k]!), 0),
    0,
  )
  const gainMicro = before.costMicro - after.costMicro - handlingMicro
  if (after.broken.length > 0 || gainMicro <= 0) return null
  const credit = (line: OrderLine) => line.qty * materialMicro(input.costs, line.cable, line.lengthUm)
  const byCable = plan.byCable.map((b) => {
    const mine = lines.filter((l) => l.cable === b.cable)
    if (mine.length === 0) return b
    const drums = new Set(input.drums.filter((d) => d.cable === b.cable).map((d) => d.drum))
    const costOf = (w: PlanInput, all: Mounting[]) =>
      verifyPlan(w, { mountings: all.filter((m) => drums.has(m.drum)), unserved: [] }).costMicro
    const more = costOf(works, mountings) - costOf(input, plan.mountings)
    const creditMicro = mine.reduce((sum, l) => sum + credit(l), 0)
    return {
      cable: b.cable,
      costMicro: b.costMicro + more,
      boundMicro: Math.min(b.boundMicro - creditMicro, b.costMicro + more),
      deliveredMicro: b.deliveredMicro + creditMicro,
    }
  })
  const boundMicro = plan.bound.costMicro - lines.reduce((sum, l) => sum + credit(l), 0)
  return {
    ...{ lines, gainMicro, handlingMicro, cuts: cutsOf(chosen, coils) },
    plan: {
      ...plan,
      ...{ mountings, byCable, costMicro: after.costMicro, costItems: after.costItems },
      ...{ unservedMicro: after.unservedMicro, deliveredMicro: after.deliveredMicro },
      bound: { ...plan.bound, costMicro: Math.min(boundMicro, after.costMicro) },
    },
  }
}

function cutsOf(chosen: Chosen[], coils: WantedCoil[]): TailCut[] {
  return chosen
    .flatMap(({ mounting, drum, option }) =>
      option.counts.flatMap((pieces, k) => {
        const { cable, putup, declaredUm: lengthUm } = coils[k]!
        return pieces > 0 ? [{ mounting: mounting + 1, drum, cable, putup, lengthUm, pieces }] : []
      }),
    )
    .sort((a, b) => a.mounting - b.mounting)
}
