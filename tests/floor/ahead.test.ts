import { expect, it } from 'vitest'
import type { FloorAhead, FloorLines } from '../../src/works/floor-api.ts'
import { ask } from '../server/harness.ts'
import { Hall } from './hall.ts'

async function aheadOf(hall: Hall, line: string): Promise<FloorAhead> {
  const { status, body } = await ask(hall.app, { url: `/api/floor/ahead?line=${line}` })
  expect(status).toBe(200)
  return body as FloorAhead
}

async function linesOf(hall: Hall): Promise<string[]> {
  const { body } = await ask(hall.app, { url: '/api/floor/lines' })
  return (body as FloorLines).lines.map(({ line }) => line)
}

it('what a station keeps of the next drums is what the line shows once they are mounted', async () => {
  const hall = await Hall.open()
  await hall.release()
  let compared = 0
  for (const line of await linesOf(hall)) {
    const { drums, planId } = await aheadOf(hall, line)
    expect(planId).toBe(hall.planId)
    expect(drums.length).toBeLessThanOrEqual(8)
    const { nextDrum } = await hall.view(line)
    expect(drums[0]?.drum ?? null).toEqual(nextDrum)
    const numbers = drums.map(({ drum }) => drum.mounting ?? 0)
    expect(numbers).toEqual([...numbers].sort((a, b) => a - b))
    const mountedBefore = new Set<string>()
    for (const { drum, cuts, dangers, drawing } of drums) {
      // the second mounting of a drum is another one once the first has been run
      if (mountedBefore.has(drum.drum)) continue
      mountedBefore.add(drum.drum)
      await hall.book({ kind: 'mount-drum', drum: drum.drum, line, mounting: drum.mounting })
      const view = await hall.view(line)
      const { place: _, code: __, ...shown } = drum
      expect(view.mounted).toEqual(shown)
      expect(view.cuts).toEqual(cuts)
      expect(view.dangers).toEqual(dangers)
      expect(view.drawing?.mounting.intervals).toEqual(drawing.mounting.intervals)
      const now = await aheadOf(hall, line)
      expect(now.drums.map((d) => d.drum.mounting)).not.toContain(drum.mounting)
      await hall.book({
        ...{ kind: 'put-drum-away', drum: drum.drum, line, place: 'A01-1', endCaps: 'both', markRead: null },
      })
      compared++
    }
  }
  expect(compared).toBeGreaterThan(8)
})

it('holds nothing before a plan is in force, and knows its lines', async () => {
  const hall = await Hall.open()
  expect(await aheadOf(hall, 'RW-1')).toMatchObject({ planId: null, drums: [] })
  const answer = await ask(hall.app, { url: '/api/floor/ahead?line=NO-SUCH' })
  expect(answer).toMatchObject({ status: 404, body: { code: 'not-found' } })
})
