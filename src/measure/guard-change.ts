import type { LengthUm } from '../quantity/length.ts'
import type { Mounting, PieceInterval } from '../strip/cut-plan.ts'

/** A cut of a plan that another length guard changes. */
export interface ChangedCut {
  /** Number of the mounting and of the interval in it, both from 1. */
  mounting: number
  cut: number
  drum: string
  line: string
  order: string
  orderLine: number
  piece: number
  part: number
  declaredUm: LengthUm
  /** What it lies with now, and what it needs under the new guard. */
  lengthUm: LengthUm
  neededUm: LengthUm
  /** Above nought: so much too short under the new guard, and the plan must be made again. Below: so much could be saved. */
  missingUm: LengthUm
}

/**
 * Which bulk cuts a new length guard changes: a piece declared L takes L·(1 + guard) + trim (works folder contract, cut_rules), and
 * what it needs goes up to the micrometre. Leads carry no guard. `done` names the mountings (from 1) that have run: they are not open.
 */
export function cutsChangedByGuard(
  mountings: Mounting[],
  newGuardRatio: number,
  { lengthGuardRatio, pieceTrimUm }: { lengthGuardRatio: number; pieceTrimUm: LengthUm },
  done: ReadonlySet<number> = new Set(),
): ChangedCut[] {
  const needed = (declaredUm: LengthUm, guard: number) =>
    Math.ceil(declaredUm * (1 + guard) + pieceTrimUm - 0.01)
  return mountings.flatMap((mounting, m) =>
    mounting.intervals.flatMap((interval, i): ChangedCut[] => {
      if (interval.use !== 'piece' || !isBulk(interval) || done.has(m + 1)) return []
      const neededUm = needed(interval.declaredUm, newGuardRatio)
      if (neededUm === needed(interval.declaredUm, lengthGuardRatio)) return []
      const lengthUm = interval.toUm - interval.fromUm
      const { order, orderLine, piece, part, declaredUm } = interval
      const place = { mounting: m + 1, cut: i + 1, drum: mounting.drum, line: mounting.line }
      return [
        {
          ...place,
          order,
          orderLine,
          piece,
          part,
          declaredUm,
          lengthUm,
          neededUm,
          missingUm: neededUm - lengthUm,
        },
      ]
    }),
  )
}

/** Leads lie without a put-up of their own. */
function isBulk({ putup }: PieceInterval): boolean {
  return putup !== null
}
