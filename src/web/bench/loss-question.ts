import { type Chain, chainOf } from '../../lead/chain.ts'
import { type ChainLoss, chainLoss } from '../../lead/chain-loss.ts'
import { LastmetreError } from '../../quantity/errors.ts'
import { mFromUm } from '../../quantity/length.ts'
import { typedFrequencyMhz } from '../../quantity/typed-frequency.ts'
import { typedLength } from '../../quantity/typed-length.ts'
import type { BenchWorks } from './bench-works.ts'

/** The words of the sentence as they stand. */
export interface LossWords {
  cable: string
  length: string
  freq: string
  temp: string
  a: string
  b: string
  vswr: string
}

export const FIRST_WORDS: LossWords = {
  cable: '',
  length: '30 m',
  freq: '144 MHz',
  temp: '20 °C',
  a: 'any',
  b: 'any',
  vswr: '1.5',
}

/** The words for another cable: a connector fits one cable only, so another one stands where one stood. */
export function ofCable({ works }: BenchWorks, words: LossWords, cable: string): LossWords {
  const fitting = works.connectors.find((c) => c.cable === cable)?.part ?? ''
  return { ...words, cable, a: words.a && fitting, b: words.b && fitting }
}

export interface AnsweredLoss {
  chain: Chain
  load: { fMhz: number; vswr: number }
  loss: ChainLoss
}

/** An answer, or what is wrong with which word; `whole` where the words do not fit together. */
export type LossOutcome =
  | { answered: AnsweredLoss; wrong: null }
  | { answered: null; wrong: Partial<Record<keyof LossWords | 'whole', string>> }

/** A number with an optional unit behind it. */
function typedNumber(text: string, unit: RegExp, from: number, to: number): number | null {
  const match = /^([-−]?\d{1,6}(?:\.\d{1,6})?)\s*(.*)$/.exec(text.trim())
  const value = Number(match?.[1]?.replace('−', '-'))
  return match && unit.test(match[2] ?? '') && value >= from && value <= to ? value : null
}

export function lossOfWords({ works, answer }: BenchWorks, words: LossWords): LossOutcome {
  const cable = works.cables.find((c) => c.cable === words.cable)
  if (!cable) return { answered: null, wrong: { cable: 'Choose a cable.' } }
  const wrong: Partial<Record<keyof LossWords, string>> = {}
  const length = typedLength(words.length)
  if ('wrong' in length) wrong.length = length.wrong
  const freq = typedFrequencyMhz(words.freq)
  if ('wrong' in freq) wrong.freq = freq.wrong
  const tempC = typedNumber(words.temp, /^(°?\s?C)?$/i, -100, 200)
  if (tempC === null) wrong.temp = 'Write a temperature in °C, such as 20 °C.'
  const vswr = typedNumber(words.vswr, /^(:\s?1)?$/, 1, 1_000)
  if (vswr === null) wrong.vswr = 'Write a standing-wave ratio from 1 (matched) to 1000.'
  if ('wrong' in length || 'wrong' in freq || tempC === null || vswr === null)
    return { answered: null, wrong }
  const end = (part: string) =>
    works.connectors.find((c) => c.part === part && c.cable === cable.cable) ?? null
  try {
    const chain = chainOf({
      ...{ cable, attenuation: works.attenuation, lengthM: mFromUm(length.lengthUm), tempC },
      ...{ a: end(words.a), b: end(words.b) },
    })
    const load = { fMhz: freq.fMhz, vswr }
    return {
      answered: { chain, load, loss: chainLoss(chain, load, answer.more.connectorPower) },
      wrong: null,
    }
  } catch (error) {
    if (!(error instanceof LastmetreError)) throw error
    return { answered: null, wrong: { whole: error.message } }
  }
}
