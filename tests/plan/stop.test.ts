import { describe, expect, it } from 'vitest'
import { generateWorks, TIGHT } from '../../bench/generate-works.ts'
import type { TypeResult } from '../../src/plan/type-planner.ts'
import { verifyClaims } from '../../src/plan/verify.ts'
import { planShare, planWorks } from '../../src/solver/plan-works.ts'
import type { PlanningProgress } from '../../src/solver/start-planning.ts'

const { works } = generateWorks({ ...TIGHT, types: 3, linesPerType: 10, folder: 'stopped' })

describe('planning that goes on', () => {
  it('reports: a first plan, then better ones, each sound, then the last', async () => {
    const reports: PlanningProgress[] = []
    let nowMs = 0
    const plan = await planWorks(works, {
      seconds: 3,
      seed: 1,
      nowMs: () => nowMs++,
      stopped: () => false,
      onProgress: (progress) => reports.push(progress),
    })
    expect(reports.length).toBeGreaterThan(3)
    expect(reports[0]?.phase).toBe('first plan')
    expect(reports.at(-1)).toMatchObject({ phase: 'done', plan })
    for (const report of reports) expect(verifyClaims(works, report.plan!).broken).toEqual([])
    for (const [i, report] of reports.slice(1).entries()) {
      const before = reports[i]!
      expect(report.elapsedMs).toBeGreaterThanOrEqual(before.elapsedMs)
      expect(report.unservedMicro!).toBeLessThanOrEqual(before.unservedMicro!)
      if (report.unservedMicro === before.unservedMicro)
        expect(report.costMicro!).toBeLessThanOrEqual(before.costMicro!)
    }
    expect(plan.stopped).toBe(false)
  })

  it('ends soon after it is asked to, with a sound plan that says it was stopped', async () => {
    const startedMs = performance.now()
    let askedMs = Number.POSITIVE_INFINITY
    const plan = await planWorks(works, {
      seconds: 3600,
      seed: 1,
      nowMs: () => performance.now() - startedMs,
      stopped: () => Number.isFinite(askedMs),
      onProgress: () => {
        if (!Number.isFinite(askedMs)) setTimeout(() => (askedMs = performance.now()), 700)
      },
    })
    // without it the hour would go on; a second on a free machine, more on a busy one
    expect(performance.now() - askedMs).toBeLessThan(5_000)
    expect(plan.stopped).toBe(true)
    expect(verifyClaims(works, plan).broken).toEqual([])
  })

  it('asked to stop before it began, still gives a sound plan', async () => {
    let nowMs = 0
    const plan = await planWorks(works, {
      seconds: 3600,
      seed: 1,
      nowMs: () => nowMs++,
      stopped: () => true,
      onProgress: () => undefined,
    })
    expect(plan.stopped).toBe(true)
    expect(plan.mountings.length).toBeGreaterThan(0)
    expect(verifyClaims(works, plan).broken).toEqual([])
  })

  it('asked to stop before it began, the other thread too has a plan of each of its types', async () => {
    let found: TypeResult[] = []
    await planShare(works, {
      ...{ seconds: 3600, work: null, seed: 1, nowMs: () => 0, stopped: () => true },
      onResults: (results) => {
        found = [...results.values()]
      },
    })
    expect(found.length).toBeGreaterThan(0)
    // stock of these works reaches: what is put together in no time serves something of each type
    for (const { solution } of found) expect(solution.patterns.length).toBeGreaterThan(0)
  })
})
