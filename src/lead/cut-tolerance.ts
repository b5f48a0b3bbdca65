import type { OrderLine } from '../order/order-line.ts'
import { UM_PER_MM } from '../quantity/length.ts'

/** What a length may be off, mm, and who says so. */
export interface CutTolerance {
  minusMm: number
  plusMm: number
  source: string
}

/** Upper ends of the classes, mm, and what may be too long; above the last, 5 % of the length. Nothing may be short. */
const CLASSES = [
  { toMm: 300, plusMm: 25 },
  { toMm: 1_500, plusMm: 50 },
  { toMm: 3_000, plusMm: 100 },
  { toMm: 7_500, plusMm: 150 },
]
const BEYOND_RATIO = 0.05

/** Tolerance of a length where the order says none: IPC/WHMA-A-620 rev. B, final draft, table 11-1, end to end over the connectors. */
export function classTolerance(lengthMm: number): CutTolerance {
  const found = CLASSES.find(({ toMm }) => lengthMm <= toMm)
  return {
    minusMm: 0,
    plusMm: found?.plusMm ?? BEYOND_RATIO * lengthMm,
    source: 'length class of IPC/WHMA-A-620 rev. B, final draft, table 11-1',
  }
}

/** The order's own tolerance; what it does not say is that of the length class. */
export function toleranceOf(line: OrderLine): CutTolerance {
  const byClass = classTolerance(line.lengthUm / UM_PER_MM)
  const { tolMinusMm, tolPlusMm } = line
  return {
    minusMm: tolMinusMm ?? byClass.minusMm,
    plusMm: tolPlusMm ?? byClass.plusMm,
    source:
      tolMinusMm !== null && tolPlusMm !== null
        ? 'order'
        : tolMinusMm === null && tolPlusMm === null
          ? byClass.source
          : `order, and what it does not say by ${byClass.source}`,
  }
}
