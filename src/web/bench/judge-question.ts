import { LastmetreError } from '../../quantity/errors.ts'
import { type JudgedLead, judgedLead, type MeasuredFile } from '../../works/judged-lead.ts'
import type { BenchWorks } from './bench-works.ts'

/** What is to be judged as what; texts as they stand in the sentence. */
export interface JudgeWords {
  file: MeasuredFile | null
  /** Serial, order line, or cable, length and connectors. */
  lead: string
  instrument: string
  /** Empty: as recorded, else 20 °C. */
  temp: string
}

export const FIRST_JUDGE: JudgeWords = { file: null, lead: '', instrument: '', temp: '' }

export interface AskedLead {
  serial: string | null
  spec: string | null
  instrument: string | null
  tempC: number | null
}

/** The words as a question; a text where they are none. */
export function judgeAsked({ works }: BenchWorks, words: JudgeWords): AskedLead | string {
  const lead = words.lead.trim()
  if (lead === '') return 'Say which lead this is: a serial, an order line, or cable, length and connectors.'
  const serial = works.leadTests.some((t) => t.serial === lead)
  const temp = /^([-−]?\d{1,3}(?:\.\d{1,2})?)\s*(°?\s?C)?$/i.exec(words.temp.trim())
  if (!temp && words.temp.trim() !== '')
    return 'Write the temperature in °C, such as 21 °C, or leave it empty.'
  return {
    serial: serial ? lead : null,
    spec: serial ? null : lead,
    instrument: words.instrument || null,
    tempC: temp ? Number(temp[1]?.replace('−', '-')) : null,
  }
}

export type JudgeOutcome =
  | { judged: JudgedLead; asked: AskedLead; wrong: null }
  | { judged: null; wrong: string | null }

/** Judges where there is something to judge; the reader's own words where it is refused. */
export function judgeWords(bench: BenchWorks, words: JudgeWords): JudgeOutcome {
  if (!words.file) return { judged: null, wrong: null }
  const asked = judgeAsked(bench, words)
  if (typeof asked === 'string') return { judged: null, wrong: asked }
  try {
    const judged = judgedLead(bench.works, bench.answer.more, {
      lead: { serial: asked.serial, spec: asked.spec },
      ...{ file: words.file, adapterA: null, adapterB: null, uncertainty: {} },
      ...{ instrument: asked.instrument, tempC: asked.tempC },
    })
    return { judged, asked, wrong: null }
  } catch (error) {
    if (!(error instanceof LastmetreError)) throw error
    return { judged: null, wrong: `${error.message} ${error.todo}` }
  }
}

/** The finished lead that a file is named after; the longest serial wins. */
export function leadOfFile({ works }: BenchWorks, name: string): string {
  const named = works.leadTests.filter((t) => name.toLowerCase().startsWith(t.serial.toLowerCase()))
  return named.sort((p, q) => q.serial.length - p.serial.length)[0]?.serial ?? ''
}
