import { describe, expect, it } from 'vitest'
import { NOT_BEGUN, nextProgress, takenBack, wrongScan } from './job-progress.ts'

const MINUTE_MS = 60_000

describe('a job at the bench', () => {
  it('starts and finishes its steps in turn and stops at the end', () => {
    const started = nextProgress(NOT_BEGUN, 2, 0)
    expect(started).toEqual({ minutes: [], startedMs: 0 })
    const first = nextProgress(started, 2, 3 * MINUTE_MS)
    expect(first).toEqual({ minutes: [3], startedMs: null })
    const done = nextProgress(nextProgress(first, 2, 3 * MINUTE_MS), 2, 4 * MINUTE_MS)
    expect(done).toEqual({ minutes: [3, 1], startedMs: null })
    expect(nextProgress(done, 2, 9 * MINUTE_MS)).toBe(done)
  })

  it('never counts minutes below nought when the clock is set back', () => {
    expect(nextProgress({ minutes: [], startedMs: 5 * MINUTE_MS }, 1, 0).minutes).toEqual([0])
  })

  it('takes back one press at a time', () => {
    expect(takenBack({ minutes: [3], startedMs: 7 })).toEqual({ minutes: [3], startedMs: null })
    expect(takenBack({ minutes: [3], startedMs: null })).toEqual(NOT_BEGUN)
    expect(takenBack(NOT_BEGUN)).toEqual(NOT_BEGUN)
  })

  it('goes on with Enter or a scan of its own order line and refuses any other', () => {
    expect(wrongScan('', '7119/1')).toBeNull()
    expect(wrongScan(' 7119/1\r', '7119/1')).toBeNull()
    expect(wrongScan('lastmetre:order/7119/1', '7119/1')).toBeNull()
    expect(wrongScan('7119/11', '7119/1')).toContain('7119/11')
    expect(wrongScan('27119/1', '7119/1')).toContain('Nothing was started')
  })
})
