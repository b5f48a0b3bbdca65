import { expect, it } from 'vitest'
import type { EventOf } from '../../src/ledger/event.ts'
import type { BalanceAnswer } from '../../src/works/records-api.ts'
import { RecordHall, received } from './hall.ts'

it('beside a type that stands out its newest check is told: of marks or of mass, by when it was made and not when it was sent', async () => {
  const hall = await RecordHall.open()
  for (const drum of ['Z1', 'Z2', 'Z3', 'Z4']) {
    await hall.book(received(drum, 1000))
    await hall.book({
      ...{ kind: 'measure-rest', drum, newRestUm: 900e6, uncUm: 100_000, how: 'weight' },
    })
  }
  const check = async (at: string, what: 'tape' | 'scale', passed: boolean): Promise<string> => {
    hall.at = at
    const tool = what === 'tape' ? 'T-50-1' : 'SC-1'
    const { body } = await hall.book<'check-recorded'>({
      ...{ kind: 'record-check', what, subject: tool, cable: 'C081-50', passed, figures: [], note: null },
    })
    return (body as EventOf<'check-recorded'>).check
  }
  const newest = await check('2031-03-03T11:00:00.000Z', 'scale', true)
  // kept at a station without the network, and sent after it
  const late = await check('2031-03-03T09:00:00.000Z', 'tape', false)
  const { unexplained } = await hall.ask<BalanceAnswer>('/api/records/balance?from=2031-01-01&to=2031-12-31')
  expect(unexplained.named.map((p) => p.name)).toContain('C081-50')
  expect(unexplained.says).toContain(`(${newest}): it held`)
  expect(unexplained.says).not.toContain(late)
})
