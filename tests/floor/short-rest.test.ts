import { expect, it } from 'vitest'
import { until } from '../support/until.ts'
import { Hall } from './hall.ts'

it.each(['counter', 'ran out'] as const)(
  'a drum that is short of its plan is cut as far as it reaches, and the rest of its pieces is planned anew (%s)',
  async (how) => {
    const hall = await Hall.open()
    await hall.release()
    const { nextDrum } = await hall.view('RW-1')
    const drum = nextDrum!.drum
    await hall.book({ kind: 'mount-drum', drum, line: 'RW-1', mounting: nextDrum!.mounting })
    const { cuts: planned } = await hall.view('RW-1')
    // it reaches into the middle of the third piece, so that two are left of the plan
    const third = planned.filter((cut) => cut.use === 'piece').slice(0, 3)
    expect(third).toHaveLength(3)
    const upTo = planned.indexOf(third[2]!)
    const before = planned.slice(0, upTo).reduce((sum, cut) => sum + cut.takenUm, 0)
    const newRestUm = Math.round(before + third[2]!.takenUm / 2)
    const { seq } = await hall.book({
      ...{ kind: 'measure-rest', drum, newRestUm, uncUm: 100_000, how },
    })
    const { repair, cuts, mounted } = await until(
      () => hall.view('RW-1'),
      (view) => view.repair.because === seq && view.repair.state !== 'running',
    )
    expect(repair).toMatchObject({ state: 'done', message: null })
    expect(mounted!.restUm).toBe(newRestUm)
    // no cut of what is in force now lies beyond what is on the drum
    expect(cuts.reduce((sum, cut) => sum + cut.takenUm, 0)).toBe(newRestUm)
    expect(cuts.filter((cut) => cut.use === 'piece').length).toBeGreaterThan(0)
  },
)
