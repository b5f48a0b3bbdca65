import { groupBy } from '../quantity/group-by.ts'
import { UM_PER_M } from '../quantity/length.ts'
import type { MovementSum } from './movement-sum.ts'

/** What became of the metres of one month, and what was lost with them. */
export interface MonthYield {
  /** YYYY-MM. */
  month: string
  shippedUm: number
  /** Scrap, trims, samples and over-length. */
  lostUm: number
  /** Shipped over shipped and lost; null where nothing moved. */
  yieldRatio: number | null
  /** At the material cost of each type. */
  lostEur: number
  /** By cause of scrap; trims, samples and over-length are causes of their own. */
  byCause: { cause: string; um: number; eur: number }[]
  /** Lost per 1000 m shipped; null where nothing was shipped. */
  eurPerKm: number | null
}

/** Yield by month, oldest first; `eurPerM` is the material cost by cable type (costs.json). */
export function monthYields(sums: MovementSum[], eurPerM: Record<string, number>): MonthYield[] {
  return [...groupBy(sums, (sum) => sum.day.slice(0, 7))]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([month, of]) => monthYield(month, of, eurPerM))
    .filter((m) => m.shippedUm > 0 || m.lostUm > 0)
}

function monthYield(month: string, sums: MovementSum[], eurPerM: Record<string, number>): MonthYield {
  const causes = new Map<string, { um: number; eur: number }>()
  let shippedUm = 0
  for (const { what, cause, cable, um } of sums) {
    if (what === 'shipped') shippedUm += um
    const lost = what === 'scrap' ? (cause ?? 'other') : lostAs(what)
    if (lost === null) continue
    const known = causes.get(lost) ?? { um: 0, eur: 0 }
    const eur = (um / UM_PER_M) * (eurPerM[cable] ?? 0)
    causes.set(lost, { um: known.um + um, eur: known.eur + eur })
  }
  const byCause = [...causes].map(([cause, of]) => ({ cause, ...of })).sort((a, b) => b.eur - a.eur)
  const lostUm = byCause.reduce((sum, c) => sum + c.um, 0)
  const lostEur = byCause.reduce((sum, c) => sum + c.eur, 0)
  return {
    ...{ month, shippedUm, lostUm, lostEur, byCause },
    yieldRatio: shippedUm + lostUm > 0 ? shippedUm / (shippedUm + lostUm) : null,
    eurPerKm: shippedUm > 0 ? lostEur / (shippedUm / UM_PER_M / 1000) : null,
  }
}

function lostAs(what: MovementSum['what']): string | null {
  if (what === 'trim') return 'trims'
  if (what === 'sample') return 'samples'
  return what === 'over-length' ? 'over-length' : null
}
