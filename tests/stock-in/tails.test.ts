import { beforeAll, describe, expect, test } from 'vitest'
import type { MinimumLevel } from '../../src/ledger/minimum-levels.ts'
import { levelStandings } from '../../src/ledger/minimum-levels.ts'
import { STOCK_ORDER } from '../../src/ledger/shelf-piece.ts'
import { coilsFromTails, type TailProposal } from '../../src/ledger/tails.ts'
import type { Plan } from '../../src/plan/plan.ts'
import { verifyClaims } from '../../src/plan/verify.ts'
import type { Works } from '../../src/works/works.ts'
import { planned } from '../plan/planned.ts'
import { expectAgreement } from '../plan-referee/agrees.ts'
import { refereeIsHere } from '../plan-referee/referee.ts'
import { demoWorks } from '../plan-referee/works.ts'

let works: Works
let plan: Plan
beforeAll(async () => {
  works = await demoWorks()
  plan = await planned(works, 1)
}, 120_000)

const level = (cable: string, putup: string, lengthM: number, least: number): MinimumLevel => ({
  ...{ cable, putup, lengthTyped: String(lengthM), unit: 'm', lengthUm: lengthM * 1e6, least },
})

/** Standard coils of every cable that the demo sells by the coil. */
const LEVELS = [
  level('C049-50', 'C-280', 25, 6),
  level('C059-50', 'C-280', 50, 4),
  level('C059-50', 'C-220', 25, 6),
  level('C069-75', 'C-280', 25, 8),
  level('C081-50', 'C-380', 50, 4),
  level('C110-50', 'C-380', 25, 4),
]

const proposed = (levels: MinimumLevel[]): TailProposal | null =>
  coilsFromTails(works, plan, levelStandings(levels, [], works.orders))

function enlarged(found: TailProposal): Works {
  return { ...works, orders: [...works.orders, ...found.lines] }
}

describe('tails become standard coils', () => {
  test('with no level, or none that is short, nothing changes', () => {
    expect(proposed([])).toBeNull()
    expect(proposed(LEVELS.map((l) => ({ ...l, least: 0 })))).toBeNull()
  })

  test('what pays is cut, nothing for customers moves, and every rule holds', { timeout: 60_000 }, () => {
    const found = proposed(LEVELS)!
    expect(found).not.toBeNull()
    const pieces = found.cuts.reduce((n, c) => n + c.pieces, 0)
    expect(pieces).toBeGreaterThan(0)
    expect(pieces).toBe(found.lines.reduce((n, l) => n + l.qty, 0))
    process.stdout.write(
      `tails: ${pieces} coils from ${found.cuts.length} tails, ${(found.gainMicro / 1e6).toFixed(2)} EUR\n`,
    )
    expect(verifyClaims(enlarged(found), found.plan).broken).toEqual([])
    if (refereeIsHere) expectAgreement(enlarged(found), found.plan)

    const customers = (p: Plan) =>
      p.mountings.map((m) => m.intervals.filter((i) => i.use === 'piece' && i.order !== STOCK_ORDER))
    expect(customers(found.plan)).toEqual(customers(plan))
    expect(found.plan.unservedMicro).toBe(plan.unservedMicro)
    // the plan's own saving, less what the coils themselves cost
    expect(found.gainMicro).toBe(plan.costMicro - found.plan.costMicro - found.handlingMicro)
    expect(found.gainMicro).toBeGreaterThan(0)
    for (const line of found.lines) {
      const asked = LEVELS.find((l) => l.cable === line.cable && l.lengthUm === line.lengthUm)!
      expect(line.qty).toBeLessThanOrEqual(asked.least)
      expect(line.priceEur).toBe(0)
    }
  })

  test('what lacks is counted less what is here and what is ordered', { timeout: 60_000 }, () => {
    const found = proposed(LEVELS)!
    const again = levelStandings(LEVELS, [], enlarged(found).orders)
    for (const line of found.lines) {
      const standing = again.find((s) => s.level.cable === line.cable && s.level.lengthUm === line.lengthUm)!
      expect(standing.coming).toBe(line.qty)
      expect(standing.short).toBe(standing.level.least - line.qty)
    }
    // taken twice, the next line has the next number
    const next = coilsFromTails(enlarged(found), found.plan, again)
    if (next) expect(Math.min(...next.lines.map((l) => l.line))).toBe(found.lines.length + 1)
  })

  test('dear put-ups do not pay', { timeout: 60_000 }, () => {
    const putups = works.putups.map((p) => (p.kind === 'coil' ? { ...p, costEur: 500 } : p))
    expect(coilsFromTails({ ...works, putups }, plan, levelStandings(LEVELS, [], works.orders))).toBeNull()
  })
})
