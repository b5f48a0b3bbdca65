import { beforeAll, describe, expect, it } from 'vitest'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import type { FloorNow } from '../../src/server/floor-desk.ts'
import { testedNow } from '../../src/server/floor-spark.ts'
import { cut, demoWorks, Hall, M, mount, piece, received } from '../ledger/hall.ts'

let works: PlanInput
beforeAll(async () => {
  works = await demoWorks()
})

/** Of a drum of 1000 m that was mounted and cut: what has passed the tester, places in m from its outer end. */
function testedM(offM: number, restM: number | null): [number, number][] {
  const hall = new Hall(works)
  hall.do(received('D1', 1000))
  hall.do(mount('D1'))
  if (offM > 0) hall.do(cut('D1', piece(offM)))
  if (restM !== null)
    hall.do({ kind: 'measure-rest', drum: 'D1', newRestUm: restM * M, uncUm: 100_000, how: 'counter' })
  const now = { works, state: hall.state, hasStock: true } as unknown as FloorNow
  return (testedNow(now).get('D1') ?? []).map(({ fromUm, toUm }) => [fromUm / M, toUm / M])
}

// lines.json of the demo: 3.2 m from the electrode to the cutter of RW-1
describe('what passed the spark tester since the drum was threaded', () => {
  it('lies between electrode and cutter once that much came off', () => {
    expect(testedM(0, null)).toEqual([])
    expect(testedM(2, null)).toEqual([[1.2, 3.2]])
    expect(testedM(20, null)).toEqual([[0, 3.2]])
  })

  it('is what it measured when it passed, whatever the rest turns out to be', () => {
    // 20 m passed; at what a metre of the rest is worth now they would be 2 m
    expect(testedM(20, 98)).toEqual([[0, 3.2]])
    expect(testedM(2, 99.8)).toEqual([[1.2, 3.2]])
    // and twice as much left does not test what has not passed
    expect(testedM(2, 1996)).toEqual([[1.2, 3.2]])
  })
})
