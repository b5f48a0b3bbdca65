import { describe, expect, it } from 'vitest'
import type { StockDifference } from '../../src/ledger/movement-sum.ts'
import { unexplainedPattern } from '../../src/ledger/unexplained.ts'
import { seededRandom } from '../../src/plan/random.ts'

const NO_STRIPS = new Map<string, never>()

/** Normal numbers from the seeded ones (Box and Muller 1958). */
function normals(seed: number): () => number {
  const random = seededRandom(seed)
  return () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
}

const LINES = ['RW-1', 'RW-2']
const TYPES = ['C1', 'C2', 'C3', 'C4']
const SHIFTS = ['06:00-14:00', '14:00-22:00']

/** Differences of so many drums with their proper spread, and a bias in standard deviations for some of them. */
function month(
  seed: number,
  drums: number,
  biasOf: (d: { line: string; cable: string; shift: string }) => number,
): StockDifference[] {
  const normal = normals(seed)
  const random = seededRandom(seed + 1)
  const any = (of: string[]) => of[Math.floor(random() * of.length)]!
  return Array.from({ length: drums }, (_, i) => {
    const where = { line: any(LINES), cable: any(TYPES), shift: any(SHIFTS) }
    const uncUm = 500_000 + Math.floor(random() * 1_500_000)
    const um = Math.round((normal() + biasOf(where)) * uncUm)
    return {
      seq: i,
      day: '2031-03-05',
      strip: `D${i}`,
      drum: `D${i}`,
      what: 'measured',
      um,
      varUm2: uncUm ** 2,
      ...where,
    }
  })
}

describe('a pattern in what nobody booked', () => {
  it('is seen by chance in no more than one month in twenty, all looks together', () => {
    let seen = 0
    const months = 1000
    for (let seed = 0; seed < months; seed++)
      if (
        unexplainedPattern(
          month(10 * seed, 30, () => 0),
          NO_STRIPS,
        ).named.length > 0
      )
        seen++
    // 5 % with looks that partly look at the same drums: at most; 3 standard errors above
    expect(seen / months).toBeLessThan(0.05 + 3 * Math.sqrt((0.05 * 0.95) / months))
    // and the looks are not so many that nothing is ever seen
    expect(seen).toBeGreaterThan(10)
  })

  it.each([
    ['line', 'RW-2', (d: { line: string }) => (d.line === 'RW-2' ? -1.5 : 0), 'length counter of RW-2'],
    [
      'type',
      'C3',
      (d: { cable: string }) => (d.cable === 'C3' ? 2.5 : 0),
      'mark scale or the mass per metre of C3',
    ],
    [
      'shift',
      '14:00-22:00',
      (d: { shift: string }) => (d.shift === '14:00-22:00' ? -1.5 : 0),
      'how the 14:00-22:00 shift books',
    ],
  ] as const)('one %s: names it', (kind, name, bias, says) => {
    let right = 0
    for (let seed = 1; seed <= 50; seed++) {
      const { named, says: sentence } = unexplainedPattern(month(100 * seed, 40, bias as never), NO_STRIPS)
      if (named.length === 1 && named[0]?.kind === kind && named[0].name === name) {
        right++
        expect(sentence).toContain(says)
      }
    }
    expect(right).toBeGreaterThanOrEqual(45)
  })

  it('says that nothing stands out, or that nothing was measured', () => {
    expect(unexplainedPattern([], NO_STRIPS).says).toBe(
      'No drum was measured or counted anew, so nothing can come to light.',
    )
    expect(
      unexplainedPattern(
        month(3, 2, () => 0),
        NO_STRIPS,
      ).says,
    ).toContain('Too few drums')
    expect(
      unexplainedPattern(
        month(3, 40, () => 0),
        NO_STRIPS,
      ).says,
    ).toContain('Nothing stands out')
  })

  it('tells the newest check of a type that is named, and of no other', () => {
    const less = month(100, 40, (d) => (d.cable === 'C3' ? 2.5 : 0))
    const check = (cable: string, day: string, passed: boolean) => ({
      cable,
      check: `CK-${day}`,
      day,
      passed,
    })
    const checks = [
      check('C3', '2031-03-01', true),
      check('C3', '2031-03-02', false),
      check('C1', '2031-03-03', true),
    ]
    const { named, says } = unexplainedPattern(less, NO_STRIPS, checks)
    expect(named.map((p) => p.name)).toEqual(['C3'])
    expect(says).toContain('of C3 was last checked on 2031-03-02 (CK-2031-03-02): it did not hold.')
    expect(says).not.toContain('C1')
  })

  it('names two that cannot be told apart', () => {
    const alike = month(5, 30, () => -2).map((d) => ({ ...d, line: 'RW-1', cable: 'C1', shift: null }))
    const { named, says } = unexplainedPattern(alike, NO_STRIPS)
    expect(named.map((p) => p.kind).sort()).toEqual(['line', 'type'])
    expect(says).toContain('cannot tell these apart')
  })
})
