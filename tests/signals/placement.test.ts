import { describe, expect, it } from 'vitest'
import type { NoticeCode } from '../../src/signals/line-watch-setup.ts'
import { type VirtualRun, virtualRun } from './virtual-line.ts'

/**
 * Simulated lines in virtual time, whose truth is known: is each spark placed within the error that is stated, is what went
 * wrong found, and is nothing said where nothing is wrong? The simulator knows nothing of how a spark is placed.
 */
function many(run: Omit<VirtualRun, 'seed'>, seeds: number) {
  let [inside, total, missed] = [0, 0, 0]
  let widestM = 0
  const notices = new Map<NoticeCode, number>()
  for (let seed = 1; seed <= seeds; seed++) {
    const outcome = virtualRun({ seed, ...run })
    missed += outcome.missed
    for (const { trueM, fromM, uncM } of outcome.sparks) {
      total++
      if (Math.abs(trueM - fromM) <= uncM) inside++
      widestM = Math.max(widestM, uncM)
    }
    for (const found of outcome.findings)
      if (found.kind === 'notice') notices.set(found.code, (notices.get(found.code) ?? 0) + 1)
  }
  return { inside, total, missed, widestM, notices: Object.fromEntries(notices) }
}

describe('sparks lie where they are said to lie, and clean runs raise nothing', () => {
  it('read in turn, 40 runs', () => {
    const { inside, total, missed, widestM, notices } = many({}, 40)
    expect(total).toBeGreaterThan(150)
    expect({ inside, missed, notices }).toEqual({ inside: total, missed: 0, notices: {} })
    // 0.5 m + 0.2 % of 160 m + half a look at 2.5 m/s
    expect(widestM).toBeLessThan(1)
  })

  it('sent with a time of its own through a network that delays, 20 runs', () => {
    const { inside, total, missed, notices } = many({ sends: true, delayMs: 80 }, 20)
    expect({ inside, missed, notices }).toEqual({ inside: total, missed: 0, notices: {} })
  })

  it('read once a second: the error grows by the speed, 15 runs', () => {
    const { inside, total, widestM, notices } = many({ pollMs: 1_000 }, 15)
    expect({ inside, notices }).toEqual({ inside: total, notices: {} })
    expect(widestM).toBeGreaterThan(1.5)
  })

  it.each([
    ['shortly after the next start', 22],
    ['well into the next run', 40],
    ['never', null],
  ])('the cut is recorded %s: the place is from the end that the ledger knows', (_when, recordedAfterS) => {
    const { inside, total, missed } = many({ recordedAfterS }, 8)
    expect({ inside, missed }).toEqual({ inside: total, missed: 0 })
  })
})

describe('what goes wrong is found', () => {
  it('a clock that is 7.3 s ahead, once a run, and the places stay right', () => {
    const run = { sends: true, clockAheadMs: 7_300, clockDriftPpm: 100, delayMs: 50 }
    const { inside, total, notices } = many(run, 12)
    expect({ inside, notices }).toEqual({ inside: total, notices: { clock: 12 } })
  })

  it('a clock that is behind', () => {
    const { inside, total, notices } = many({ sends: true, clockAheadMs: -40_000 }, 5)
    expect({ inside, notices }).toEqual({ inside: total, notices: { clock: 5 } })
  })

  it('a difference within 2 s is taken out in silence', () => {
    const { inside, total, notices } = many({ sends: true, clockAheadMs: 1_900 }, 5)
    expect({ inside, notices }).toEqual({ inside: total, notices: {} })
  })

  it('a counter set back in mid-run, once each', () => {
    const { inside, total, notices } = many({ faults: { resetsAtM: [35.3] } }, 12)
    expect({ inside, notices }).toEqual({ inside: total, notices: { reset: 12 } })
  })

  it('4 m that slipped by: said, and in the error of what lies behind', () => {
    const { inside, total, notices } = many({ faults: { slips: [{ atM: 30, lengthM: 8, share: 0.5 }] } }, 15)
    expect(inside).toBe(total)
    expect(notices.differs).toBeGreaterThanOrEqual(15)
    expect(Object.keys(notices)).toEqual(['differs'])
  })

  it('6 s without a reading of any of the three signals', () => {
    const { inside, total, notices } = many({ silences: [{ fromS: 40, toS: 46 }] }, 10)
    expect({ inside, notices }).toEqual({ inside: total, notices: { silent: 30, back: 30 } })
  })

  it('resets at rest without a cut on record, ten minutes later', () => {
    const late = virtualRun({ seed: 3, pieces: 14, recordedAfterS: null })
    const resets = late.findings.filter((f) => f.kind === 'notice' && f.code === 'reset')
    expect(resets.length).toBeGreaterThan(2)
  })

  it('keeps what was read 10 s before and after a spark', () => {
    const outcome = virtualRun({ seed: 1 })
    const raw = outcome.findings.flatMap((f) => (f.kind === 'raw' ? [f] : []))
    expect(raw.length).toBe(
      new Set(outcome.findings.flatMap((f) => (f.kind === 'spark' ? [f.spark.n] : []))).size,
    )
    // 20 s, ten a second, three signals
    for (const { samples } of raw) {
      expect(samples.length).toBeGreaterThan(500)
      expect(samples.length).toBeLessThanOrEqual(606)
    }
  })
})
