import type { Mounting } from '../strip/cut-plan.ts'
import { type Catalog, orderKey } from './catalog.ts'
import type { Plan } from './plan.ts'
import type { FixedPart } from './repair-fixed.ts'
import { emptyTally } from './tally.ts'
import { checkMounting } from './verify-mounting.ts'

/**
 * Whether anything happened to a cable type since its plan was made: a mounting cannot stay as it is, or other pieces are missing
 * than the old plan said. `works` counts drums that were begun and are held now as free, `catalog` does not.
 */
export function isTouched(
  works: Catalog,
  cable: string,
  old: Pick<Plan, 'unserved'>,
  own: { mounting: Mounting; index: number }[],
  fixed: FixedPart,
  catalog: Catalog,
): boolean {
  const drums = new Set(own.map((m) => m.mounting.drum))
  if (fixed.lost.some((l) => drums.has(l.drum))) return true
  const tally = emptyTally(works)
  for (const { mounting, index } of own) {
    if (stillCut(mounting, index, fixed, catalog)) return true
    checkMounting(tally, mounting, index)
  }
  if (tally.broken.length > 0 || [...tally.lots.values()].some((lots) => lots.size > 1)) return true
  for (const [key, order] of works.orders) {
    if (order.cable !== cable) continue
    const missing = order.qty - (tally.served.get(key)?.size ?? 0)
    const told = old.unserved.find((u) => orderKey(u.order, u.orderLine) === key)?.pieces ?? 0
    if (missing !== told) return true
  }
  return false
}

/** Cuts that are still to be made where none may be: the drum is held, or was taken off the line, or the order line is barred from it. */
function stillCut(mounting: Mounting, index: number, fixed: FixedPart, catalog: Catalog): boolean {
  const begun = fixed.mountings.find((f) => f.index === index)
  const open = mounting.intervals
    .slice(begun?.taken ?? 0)
    .flatMap((i) => (i.use === 'piece' ? [orderKey(i.order, i.orderLine)] : []))
  if (open.length === 0) return false
  if (begun?.open === false || catalog.drums.get(mounting.drum)?.drum.status !== 'free') return true
  return open.some((key) => catalog.barred.get(key)?.has(mounting.drum))
}
