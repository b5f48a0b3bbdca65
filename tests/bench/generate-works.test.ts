import { describe, expect, it } from 'vitest'
import { worksFiles } from '../../bench/generate/works-files.ts'
import { generateWorks, LARGE, TIGHT, type WorksWanted } from '../../bench/generate-works.ts'
import { verifyPlan } from '../../src/plan/verify.ts'
import { parseWorks } from '../../src/works/parse-works.ts'

const small: WorksWanted = { ...TIGHT, folder: 'small', seed: 5, types: 3, linesPerType: 8, hopeless: 2 }

function parsed(wanted: WorksWanted) {
  const { works, hidden } = generateWorks(wanted)
  const bytes = [...worksFiles(works)].map(([name, text]) => [name, new TextEncoder().encode(text)] as const)
  return { works, hidden, result: parseWorks(wanted.folder, new Map(bytes)) }
}

describe.each([small, TIGHT, LARGE])('the generated works $folder', (wanted) => {
  const { works, hidden, result } = parsed(wanted)

  it('keeps the contract of the works folder and comes back as it was written', () => {
    if (!result.ok) throw new Error(JSON.stringify(result.problems.slice(0, 5)))
    expect(result.works).toEqual(works)
  })

  it('has the lines that were asked for', () => {
    expect(works.orders).toHaveLength(wanted.types * wanted.linesPerType)
  })

  it('can serve every line but the hopeless ones', () => {
    const unserved = works.orders
      .slice(works.orders.length - wanted.hopeless)
      .map((o) => ({ order: o.order, orderLine: o.line, pieces: o.qty, reason: 'meant to be' }))
    expect(verifyPlan(works, { mountings: hidden, unserved }).broken).toEqual([])
  })

  it('is the same works again from the same seed', () => {
    expect(generateWorks(wanted).works).toEqual(works)
  })
})

it('holds every kind of thing that a works can hold', () => {
  const { works } = generateWorks(LARGE)
  const seen = <T>(values: T[]) => new Set(values)
  expect(seen(works.faults.map((f) => f.severity)).size).toBe(3)
  expect(seen(works.faults.map((f) => f.code)).size).toBe(7)
  expect(seen(works.marks.map((m) => m.printUnit)).size).toBe(3)
  expect(seen(works.drums.map((d) => d.status)).size).toBe(4)
  expect(seen(works.drums.map((d) => d.endCaps)).size).toBe(4)
  expect(seen(works.orders.map((o) => o.lengthDefinition)).size).toBe(3)
  expect(seen(works.orders.map((o) => o.market)).size).toBe(3)
  expect(works.marks.some((m) => m.segment === 2)).toBe(true)
  expect(works.orders.some((o) => !o.singleLength)).toBe(true)
  expect(works.orders.some((o) => o.kind === 'bulk' && o.putup === null)).toBe(true)
  expect(works.orders.some((o) => (o.tolMinusPct ?? 0) > 0)).toBe(true)
  expect(works.orders.some((o) => o.sameLotGroup !== null)).toBe(true)
  const payoffs = works.site.lines.map((l) => l.payoffMaxKg)
  expect(works.drums.some((d) => d.grossKg > Math.min(...payoffs))).toBe(true)
})
