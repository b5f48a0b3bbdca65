import type { LeadTest } from '../lead/lead-test.ts'
import { poolLead } from '../lead/set-pool.ts'
import type { MatchBy } from '../lead/set-trim.ts'
import { differenceText } from '../lead/set-why.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { figureText } from '../quantity/length-text.ts'
import type { Drum } from '../strip/drum.ts'
import { type CertificateHead, drumText, NOT_RECORDED } from './certificate.ts'

/** A matched set as it goes to paper. */
export interface CertifiedSet {
  tests: LeadTest[]
  by: MatchBy
  /** Largest difference that is allowed. */
  window: number
  drums: Drum[]
  works: { name: string; town: string }
  printedAt: string
}

export interface SetCertificate extends CertificateHead {
  leads: { test: LeadTest; value: number; fromFirst: number }[]
  /** In the unit of the match: what is drawn. */
  unit: 'degree' | 'ps'
}

export function setCertificate({ tests, by, window, drums, works, printedAt }: CertifiedSet): SetCertificate {
  const leads = tests.map((test) => ({ test, value: matchValue(test, by) })).sort((p, q) => p.value - q.value)
  const [first, last] = [leads[0], leads.at(-1)]
  if (!first || !last || leads.length < 2)
    throw new LastmetreError('figure-refused', 'A set has two leads or more.')
  const apart = last.value - first.value
  const inside = apart <= window && tests.every((test) => test.continuity === 'pass')
  const one = (values: string[]) => [...new Set(values)].join(', ')
  const temps = tests.map((test) => test.tempC)
  const what = by.unit === 'ps' ? 'delay' : `phase at ${figureText(by.fMhz, 3)} MHz`
  return {
    title: `${inside ? 'Certificate' : 'Measurement report'}: set of ${leads.length} leads, ${first.test.serial} to ${last.test.serial}`,
    works: `${works.name}, ${works.town}`,
    printed: `printed ${printedAt}`,
    code: `lastmetre:set/${leads.map(({ test }) => encodeURIComponent(test.serial)).join('+')}`.slice(0, 200),
    verdict: `${inside ? 'PASS' : 'FAIL'}: the leads lie ${differenceText(by, apart)} apart in ${what}; allowed are ${differenceText(by, window)}.`,
    facts: [
      ['Cable', one(tests.map((test) => test.cable))],
      ['Lot', one(tests.map((test) => test.lot))],
      ['Drum', drumText(first.test, drums)],
      ['Interval', NOT_RECORDED],
      ['Connectors', one(tests.flatMap((test) => [test.connA, test.connB]))],
      ['Temperature', `${figureText(Math.min(...temps), 1)} to ${figureText(Math.max(...temps), 1)} °C`],
      ['Instrument', NOT_RECORDED],
      ['Calibration', NOT_RECORDED],
    ],
    decision: [
      `Matched by ${what}; the window is the largest difference between any two leads of the set.`,
      'Decision rule: simple acceptance (ILAC-G8:2019 4.2.1, w = 0): acceptance limit = specification limit. The uncertainty of phase and delay is not recorded, so no guard band can be taken off; near the limit the risk of a false pass may be as much as one half.',
      'Values are those on record, each at its own temperature; how phase moves with temperature is not recorded.',
    ],
    leads: leads.map((lead) => ({ ...lead, fromFirst: lead.value - first.value })),
    unit: by.unit === 'ps' ? 'ps' : 'degree',
    notes: [],
    signatures: ['Measured by, date', 'Approved, date'],
  }
}

function matchValue(test: LeadTest, by: MatchBy): number {
  if (by.unit === 'ps') return test.delayPs
  const { wholeDeg } = poolLead(test)
  if (wholeDeg === null)
    throw new LastmetreError(
      'figure-refused',
      `Phase and delay of ${test.serial} on record contradict each other: measure it again.`,
    )
  return (wholeDeg * by.fMhz) / test.fTestMhz
}
