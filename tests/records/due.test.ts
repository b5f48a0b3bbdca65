import { describe, expect, it } from 'vitest'
import { type DoneCheck, type DueSubject, dueCalendar } from '../../src/ledger/due.ts'
import type { CheckInterval } from '../../src/ledger/due-interval.ts'
import { dueSentence, dueWords } from '../../src/ledger/due-words.ts'
import { worksDays } from '../../src/ledger/works-day.ts'

const TODAY = '2031-03-03'
const counter: DueSubject = { what: 'counter', subject: 'RW-1', name: null, dated: null }
const wrench: DueSubject = {
  ...{ what: 'wrench', subject: 'TW-1', name: 'torque wrench' },
  dated: { task: 'calibration', doneDate: null, dueDate: '2031-03-10' },
}

function done(change: Partial<DoneCheck>): DoneCheck {
  return {
    ...{ what: 'counter', subject: 'RW-1', date: TODAY, passed: true, check: null, validDays: null },
    ...change,
  }
}

function states(subjects: DueSubject[], checks: DoneCheck[], intervals: CheckInterval[] = []): string[] {
  return dueCalendar(subjects, intervals, checks, TODAY).map(
    (i) => `${i.what} ${i.subject} ${i.task} ${i.state} ${i.inDays}`,
  )
}

describe('the calendar of what must be checked', () => {
  it('has the defaults where the works says nothing: the counter every day', () => {
    expect(states([counter], [])).toEqual(['counter RW-1 check never null'])
    expect(states([counter], [done({})])).toEqual(['counter RW-1 check soon 1'])
    expect(states([counter], [done({ date: '2031-03-02' })])).toEqual(['counter RW-1 check today 0'])
    expect(states([counter], [done({ date: '2031-02-21' })])).toEqual(['counter RW-1 check overdue -9'])
  })

  it('takes an interval of the works for its kind, and one of its own before that', () => {
    const weekly: CheckInterval = {
      what: 'counter',
      subject: null,
      task: 'check',
      days: 7,
      source: 'line book',
    }
    const own: CheckInterval = { ...weekly, subject: 'RW-1', days: 30 }
    expect(states([counter], [done({})], [weekly])).toEqual(['counter RW-1 check soon 7'])
    expect(states([counter], [done({})], [weekly, own])).toEqual(['counter RW-1 check later 30'])
  })

  it('puts a failed check first, even before one that is long overdue', () => {
    const failed = done({ what: 'wrench', subject: 'TW-1', passed: false, check: 'CK-000007' })
    const [first, second] = dueCalendar([counter, wrench], [], [done({ date: '2030-01-01' }), failed], TODAY)
    expect(first).toMatchObject({ subject: 'TW-1', state: 'failed', lastCheck: 'CK-000007' })
    expect(second).toMatchObject({ subject: 'RW-1', state: 'overdue' })
  })

  it('a good check after a failed one ends it', () => {
    const checks = [done({ date: '2031-03-02', passed: false }), done({})]
    expect(states([counter], checks)).toEqual(['counter RW-1 check soon 1'])
  })

  it('a certificate that is recorded moves the date of the works folder', () => {
    const certified = done({ what: 'wrench', subject: 'TW-1', date: '2031-03-01', validDays: 365 })
    expect(states([wrench], [])).toContain('wrench TW-1 calibration soon 7')
    expect(states([wrench], [certified])).toContain('wrench TW-1 calibration later 363')
  })

  it('knows a scale that only an interval names', () => {
    const scale: CheckInterval = { what: 'scale', subject: 'SC-1', task: 'check', days: 30, source: 'book' }
    expect(states([], [], [scale])).toEqual([
      'scale SC-1 check never null',
      'scale SC-1 calibration never null',
    ])
  })

  it('says the answer first', () => {
    expect(dueSentence([])).toBe('Nothing is known that must be checked.')
    const items = dueCalendar([counter], [], [done({ date: '2031-02-21' })], TODAY)
    expect(dueSentence(items)).toBe(
      '1 overdue or never done. First: counter RW-1, overdue by 9 days, since 2031-02-22.',
    )
    expect(dueWords(dueCalendar([counter], [], [done({})], TODAY)[0]!)).toBe('due in 1 day, on 2031-03-04')
  })
})

describe('the days of a works', () => {
  it('are the planned ones where the folder plans ahead', () => {
    const days = worksDays('2031-03-03', '2026-11-28T16:00:00.000Z')
    expect(days.today).toBe('2031-03-03')
    expect(days.dayOf('2026-11-28T09:00:00.000Z')).toBe('2031-03-03')
    expect(days.dayOf('2026-11-27T23:00:00.000Z')).toBe('2031-03-02')
    expect(days.dayOf('2031-03-01T09:00:00.000Z')).toBe('2031-03-01')
  })

  it('are the clock’s where the folder is old', () => {
    const days = worksDays('2026-11-20', '2026-11-28T16:00:00.000Z')
    expect(days.today).toBe('2026-11-28')
    expect(days.dayOf('2026-11-28T09:00:00.000Z')).toBe('2026-11-28')
  })
})
