import { failureRate, meanFailure } from '../../lead/job-start.ts'
import { failedTest } from '../../lead/set-pool.ts'
import type { MatchBy } from '../../lead/set-trim.ts'
import { type LeadSets, leadSets } from '../../lead/sets.ts'
import { LastmetreError } from '../../quantity/errors.ts'
import { typedFrequencyMhz } from '../../quantity/typed-frequency.ts'
import type { BenchWorks } from './bench-works.ts'

/** The words of the sentence as they stand. */
export interface SetsWords {
  cable: string
  size: string
  window: string
  by: 'deg' | 'ps'
  freq: string
}

export const FIRST_SETS: SetsWords = { cable: '', size: '4', window: '5', by: 'deg', freq: '2400 MHz' }

export interface AskedSets {
  cable: string
  size: number
  window: number
  by: MatchBy
}

export type SetsOutcome =
  | { sets: LeadSets; asked: AskedSets; wrong: null }
  | { sets: null; wrong: Partial<Record<keyof SetsWords | 'whole', string>> }

export function setsOfWords({ works, answer }: BenchWorks, words: SetsWords): SetsOutcome {
  const cable = works.cables.find((c) => c.cable === words.cable)
  if (!cable) return { sets: null, wrong: { cable: 'Choose a cable.' } }
  const wrong: Partial<Record<keyof SetsWords, string>> = {}
  const size = /^\d{1,3}$/.test(words.size.trim()) ? Number(words.size) : 0
  if (size < 2 || size > 200) wrong.size = 'Write how many leads make a set, from 2 to 200.'
  const window = /^\d{1,6}(\.\d{1,4})?$/.test(words.window.trim()) ? Number(words.window) : 0
  if (!(window > 0)) wrong.window = 'Write the largest difference within a set as a figure above 0.'
  const freq = typedFrequencyMhz(words.freq)
  if (words.by === 'deg' && 'wrong' in freq) wrong.freq = freq.wrong
  else if (words.by === 'deg' && 'fMhz' in freq && freq.fMhz > cable.fMaxMhz)
    wrong.freq = `Figures of ${cable.cable} end at ${cable.fMaxMhz} MHz.`
  if (Object.keys(wrong).length > 0) return { sets: null, wrong }
  const by: MatchBy = words.by === 'deg' && 'fMhz' in freq ? { unit: 'deg', fMhz: freq.fMhz } : { unit: 'ps' }
  const tests = works.leadTests.filter((test) => test.cable === cable.cable)
  const first = tests[0]
  try {
    const rate = first
      ? meanFailure(failureRate(tests, first, (test) => failedTest(works, test) !== null))
      : 0
    const sets = leadSets({
      ...works,
      ...{ cable, tests, open: answer.records.openLeads, by, window, size },
      ...{ windowDb: null, firstPassRatio: 1 - rate },
    })
    return { sets, asked: { cable: cable.cable, size, window, by }, wrong: null }
  } catch (error) {
    if (!(error instanceof LastmetreError)) throw error
    return { sets: null, wrong: { whole: error.message } }
  }
}
