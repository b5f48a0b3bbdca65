import type { OrderLine } from '../order/order-line.ts'
import { FINE_PER_UM } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { Mounting } from '../strip/cut-plan.ts'
import { catalogOf, orderKey } from './catalog.ts'
import type { CostItems, Plan, Unserved } from './plan.ts'
import type { PlanInput } from './plan-input.ts'
import {
  type BrokenRule,
  creditedUm,
  emptyTally,
  neededFine,
  type ServedPart,
  SLACK_UM,
  sharePct,
  type Tally,
} from './tally.ts'
import { materialMicro, unservedMicro } from './tariff.ts'
import { checkMounting } from './verify-mounting.ts'

export interface Verdict {
  broken: BrokenRule[]
  unservedMicro: MicroEur
  costMicro: MicroEur
  costItems: CostItems
  /** Material value of what is delivered. */
  deliveredMicro: MicroEur
  scrapUm: number
  keptUm: number
  piecesUm: number
  drumsMounted: number
}

type Checked = Pick<Plan, 'mountings'> & {
  unserved: Pick<Unserved, 'order' | 'orderLine' | 'pieces' | 'reason'>[]
}

/**
 * Recomputes a plan from the works alone: every rule it must obey, what it leaves unserved and what it costs,
 * in whole micrometres and micro-euro. It shares the tariff with the search and nothing else; no plan leaves without it.
 */
export function verifyPlan(input: PlanInput, plan: Checked): Verdict {
  const tally = emptyTally(catalogOf(input))
  for (const [index, mounting] of plan.mountings.entries()) checkMounting(tally, mounting, index)
  checkService(tally, plan.unserved)
  let unserved = 0
  for (const [key, line] of tally.catalog.orders) unserved += checkLine(tally, key, line)
  for (const [group, lots] of tally.lots)
    if (lots.size > 1)
      tally.broken.push({ rule: 'lots', where: group, why: `served from lots ${[...lots].join(', ')}` })
  const { items } = tally
  const costMicro =
    items.stockValueLost +
    items.copperReturned +
    items.mountings +
    items.putupChanges +
    items.windOffs +
    items.putups +
    items.materialDelivered
  return {
    broken: tally.broken,
    unservedMicro: unserved,
    costMicro,
    costItems: items,
    deliveredMicro: -items.materialDelivered,
    scrapUm: tally.scrapUm,
    keptUm: tally.keptUm,
    piecesUm: tally.piecesUm,
    drumsMounted: new Set(plan.mountings.map((m: Mounting) => m.drum)).size,
  }
}

/** Also checks what the plan says of itself: its figures and its bound. */
export function verifyClaims(input: PlanInput, plan: Plan): Verdict {
  const verdict = verifyPlan(input, plan)
  const honest = (ok: boolean, why: string) => {
    if (!ok) verdict.broken.push({ rule: 'honesty', where: 'plan', why })
  }
  honest(
    plan.unservedMicro === verdict.unservedMicro,
    `says ${plan.unservedMicro} µEUR unserved, it is ${verdict.unservedMicro}`,
  )
  honest(plan.costMicro === verdict.costMicro, `says ${plan.costMicro} µEUR cost, it is ${verdict.costMicro}`)
  honest(plan.bound.unservedMicro <= plan.unservedMicro, 'its bound on service lies above its own service')
  honest(plan.bound.costMicro <= plan.costMicro, 'its bound on cost lies above its own cost')
  return verdict
}

function checkService(tally: Tally, unserved: Checked['unserved']): void {
  const seen = new Set<string>()
  for (const u of unserved) {
    const key = orderKey(u.order, u.orderLine)
    const breaks = (why: string) => tally.broken.push({ rule: 'quantity', where: key, why })
    if (seen.has(key)) breaks('listed twice as unserved')
    seen.add(key)
    if (u.reason.trim() === '') breaks('no reason given')
    const line = tally.catalog.orders.get(key)
    if (!line) breaks('unserved line is not in the orders')
  }
  for (const [key, line] of tally.catalog.orders) {
    const listed = unserved.find((u) => orderKey(u.order, u.orderLine) === key)?.pieces ?? 0
    const missing = Math.max(0, line.qty - (tally.served.get(key)?.size ?? 0))
    if (listed !== missing)
      tally.broken.push({
        rule: 'quantity',
        where: key,
        why: `${missing} pieces missing, the plan lists ${listed}`,
      })
  }
}

/** Checks the pieces of one order line together, books the credit for what was ordered; returns what is not served. */
function checkLine(tally: Tally, key: string, line: OrderLine): MicroEur {
  const pieces = tally.served.get(key) ?? new Map<number, ServedPart[]>()
  const breaks = (rule: BrokenRule['rule'], why: string) => tally.broken.push({ rule, where: key, why })
  if (pieces.size > line.qty) breaks('quantity', `${pieces.size} pieces for ${line.qty} ordered`)
  const needFine = neededFine(tally.catalog, line)
  const orderedUm = needFine / FINE_PER_UM
  for (const [piece, parts] of pieces) {
    const sumUm = parts.reduce((sum, p) => sum + p.declaredUm, 0)
    if (line.singleLength) {
      if (parts.length > 1)
        breaks(line.kind === 'lead' ? 'quantity' : 'parts', `piece ${piece} given ${parts.length} times`)
    } else {
      if (parts.length > (line.maxParts ?? 1)) breaks('parts', `piece ${piece} in ${parts.length} parts`)
      for (const part of parts)
        if (part.declaredUm < (line.minPieceUm ?? 0) - SLACK_UM)
          breaks('parts', `a part of ${part.declaredUm} µm is too short`)
      const least = orderedUm - sharePct(orderedUm, line.tolMinusPct) - SLACK_UM
      const most = orderedUm + sharePct(orderedUm, line.tolPlusPct) + SLACK_UM
      if (sumUm < least || sumUm > most) breaks('parts', `piece ${piece} adds up to ${sumUm} µm`)
    }
    tally.items.materialDelivered -= materialMicro(
      tally.catalog.input.costs,
      line.cable,
      Math.min(sumUm, creditedUm(line, needFine)),
    )
  }
  const missing = line.qty - pieces.size
  return missing > 0 ? unservedMicro(line, missing, tally.catalog.input.site.works.todayDate) : 0
}
