import type { Mounting, PieceInterval } from '../strip/cut-plan.ts'
import { orderKey } from './catalog.ts'

/** Numbers of the pieces that are cut, by order line. */
export function servedOf(mountings: Mounting[]): Map<string, Set<number>> {
  const served = new Map<string, Set<number>>()
  for (const { intervals } of mountings)
    for (const i of intervals) {
      if (i.use !== 'piece') continue
      const pieces = served.get(orderKey(i.order, i.orderLine)) ?? new Set<number>()
      served.set(orderKey(i.order, i.orderLine), pieces)
      for (let n = 0; n < i.count; n++) pieces.add(i.piece + n)
    }
  return served
}

/** The pieces of a list of mountings, with where they lie. */
export function piecesOf(mountings: Mounting[]): { drum: string; line: string; piece: PieceInterval }[] {
  return mountings.flatMap(({ drum, line, intervals }) =>
    intervals.flatMap((i) => (i.use === 'piece' ? [{ drum, line, piece: i }] : [])),
  )
}
