import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { daysIn } from './format.ts'

const kept = new Map<string, string>()

beforeEach(() => {
  vi.resetModules()
  vi.useFakeTimers({ now: new Date(2026, 10, 28, 23, 30) })
  vi.stubGlobal('localStorage', {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => kept.set(key, value),
  })
})
afterEach(() => {
  kept.clear()
  vi.useRealTimers()
  vi.unstubAllGlobals()
})

const at = (...parts: [number, number, number, number, number]) => new Date(...parts).toISOString()

test('what is recorded now belongs to the day that the works plans for, at the time of the clock', async () => {
  const { happenedOn, instant, showBy } = await import('./works-clock.ts')
  showBy('2031-03-03')
  expect(instant(at(2026, 10, 28, 23, 5))).toBe('3 Mar 2031, 23:05')
  expect(happenedOn(at(2026, 10, 27, 0, 5))).toBe('2 Mar 2031')
  // a day alone, from the works folder, is as it is written
  expect(instant('2030-11-20')).toBe('20 Nov 2030')
  expect(instant('someday')).toBe('someday')
})

test('a works that plans for today has the days of the clock, and so has a station that knows no works yet', async () => {
  const { instant, showBy } = await import('./works-clock.ts')
  expect(instant(at(2026, 10, 28, 9, 0))).toBe('28 Nov 2026, 09:00')
  showBy('2026-11-28')
  expect(instant(at(2026, 10, 20, 9, 0))).toBe('20 Nov 2026, 09:00')
})

test('a station keeps the planning day for when the server is away', async () => {
  kept.set('lastmetre.planning-day', '2031-03-03')
  const { happenedOn } = await import('./works-clock.ts')
  expect(happenedOn(at(2026, 10, 28, 1, 0))).toBe('3 Mar 2031')
})

test('dates inside a text are written as all others', () => {
  expect(daysIn('since 2031-03-12 (CK-000007), not 12031-03-12')).toBe(
    'since 12\u00a0Mar\u00a02031 (CK-000007), not 12031-03-12',
  )
})
