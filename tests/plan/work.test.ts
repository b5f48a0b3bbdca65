import { expect, it } from 'vitest'
import { generateWorks } from '../../bench/generate-works.ts'
import type { Plan } from '../../src/plan/plan.ts'
import { planWorks } from '../../src/solver/plan-works.ts'
import { SMALL } from '../plan-referee/works.ts'

/** Plans by work done, on a clock that goes as it likes. */
function byWork(work: number, seed: number, tickMs: number): Promise<Plan> {
  let nowMs = 0
  return planWorks(generateWorks({ ...SMALL, seed: 31 }).works, {
    seconds: 1,
    work,
    seed,
    nowMs: () => {
      nowMs += tickMs
      return nowMs
    },
    stopped: () => false,
    onProgress: () => undefined,
  })
}

it('the same seed and work make the same plan, however fast the machine is', async () => {
  const slow = await byWork(1500, 5, 40)
  expect(await byWork(1500, 5, 0.01)).toEqual(slow)
  expect(slow.work).toBeGreaterThanOrEqual(1500)
})

it('more work makes no worse plan', async () => {
  const little = await byWork(200, 5, 1)
  const much = await byWork(3000, 5, 1)
  expect(much.unservedMicro).toBeLessThanOrEqual(little.unservedMicro)
  if (much.unservedMicro === little.unservedMicro)
    expect(much.costMicro).toBeLessThanOrEqual(little.costMicro)
})
