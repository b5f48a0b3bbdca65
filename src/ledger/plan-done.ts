import type { OrderLine } from '../order/order-line.ts'
import { orderKey } from '../plan/catalog.ts'
import { SLACK_UM } from '../plan/tally.ts'
import type { Mounting, PieceInterval } from '../strip/cut-plan.ts'
import type { PlanOrigin } from './event.ts'
import type { LedgerState } from './state.ts'
import type { DrumRow, PieceRow } from './state-rows.ts'
import { inwardUm } from './strip-place.ts'

/**
 * How many intervals of each mounting of one drum were cut: all up to the last piece that was. Pieces that came off the drum
 * since the plan was made are looked for in the plan one after the other by their order line, since places drift with each
 * cut; one that stands nowhere in the plan was cut beside it.
 * @param orders order lines as the plan numbers them
 */
export function doneCuts(
  mountings: readonly Mounting[],
  row: DrumRow,
  origin: PlanOrigin,
  open: LedgerState,
  orders: ReadonlyMap<string, OrderLine>,
): number[] {
  const cut = piecesSince(row, origin, open)
  const done = mountings.map(() => 0)
  const planned = mountings.flatMap(({ intervals }, mounting) =>
    intervals.flatMap((interval, at) => (interval.use === 'piece' ? [{ mounting, at, interval }] : [])),
  )
  let next = 0
  for (const piece of cut) {
    const found = planned.findIndex((p, i) => i >= next && isFor(piece, p.interval, orders))
    if (found < 0) continue
    next = found + 1
    const { mounting, at } = planned[found]!
    for (let earlier = 0; earlier < mounting; earlier++) done[earlier] = mountings[earlier]!.intervals.length
    done[mounting] = at + 1
  }
  return done
}

/** In the order in which they came off the drum. */
function piecesSince(row: DrumRow, origin: PlanOrigin, open: LedgerState): PieceRow[] {
  const found: { inUm: number; piece: PieceRow }[] = []
  for (const piece of open.pieces.rows()) {
    if (piece.drum !== row.drum || piece.strip !== row.strip) continue
    const inUm = inwardUm(row, origin.outerUm, row.outer === 'from' ? piece.fromUm : piece.toUm)
    // one that begins by no more than rounding before the plan's outer end was cut after it
    if (inUm >= -SLACK_UM) found.push({ inUm, piece })
  }
  return found.sort((a, b) => a.inUm - b.inUm).map(({ piece }) => piece)
}

function isFor(piece: PieceRow, planned: PieceInterval, orders: ReadonlyMap<string, OrderLine>): boolean {
  if (piece.order !== planned.order || piece.count !== planned.count) return false
  const line = orders.get(orderKey(planned.order, planned.orderLine))?.open?.restOf?.line ?? planned.orderLine
  return piece.orderLine === line
}
