import type { InstrumentUncertainty } from '../lead/guard.ts'
import type { Instrument } from '../lead/instrument.ts'
import type { Judgement } from '../lead/judge.ts'
import type { JudgedRule } from '../lead/judge-rule.ts'
import type { LeadSpec } from '../lead/lead-spec.ts'
import type { LeadTest } from '../lead/lead-test.ts'
import type { Measurement } from '../lead/measurement.ts'
import { figureText } from '../quantity/length-text.ts'
import type { Drum } from '../strip/drum.ts'

/** A judged lead as it goes to paper. */
export interface CertifiedLead {
  spec: LeadSpec
  /** Record of a finished lead; null where it was named by what it is to be. */
  test: LeadTest | null
  /** Serial, order line or parts, as it was asked for. */
  named: string
  measured: Pick<Measurement, 'file' | 'format'>
  tempC: number
  tempRecorded: boolean
  judgement: Judgement
  instrument: Instrument | null
  drums: Drum[]
  works: { name: string; town: string }
  /** As it is to be printed. */
  printedAt: string
}

export interface CertificateRule {
  name: string
  measured: string
  limit: string
  acceptance: string
  risk: string
  result: 'PASS' | 'FAIL' | 'not proven'
  says: string
}

/** What every certificate says. */
export interface CertificateHead {
  title: string
  works: string
  printed: string
  code: string
  verdict: string
  facts: [name: string, value: string][]
  decision: string[]
  notes: string[]
  signatures: string[]
}

/** What a certificate says, in words and figures; how it looks is documents' business. */
export interface Certificate extends CertificateHead {
  rules: CertificateRule[]
  direct: [what: string, limit: string, found: string][]
}

export const NOT_RECORDED = 'not recorded'

const VERDICTS = {
  pass: 'PASS: every rule below is met with its measurement uncertainty.',
  fail: 'FAIL: at least one rule below is not met. This is a report, not a certificate of conformity.',
  'not proven':
    'NOT PROVEN: nothing fails, but not every rule could be proven. This is a report, not a certificate of conformity.',
} as const

export function leadCertificate(lead: CertifiedLead): Certificate {
  const { judgement, named, works } = lead
  const kind = judgement.verdict === 'pass' ? 'Certificate' : 'Measurement report'
  return {
    title: `${kind}: lead ${named}`,
    works: `${works.name}, ${works.town}`,
    printed: `printed ${lead.printedAt}`,
    code: `lastmetre:lead/${encodeURIComponent(named)}`,
    verdict: VERDICTS[judgement.verdict],
    facts: factsOf(lead),
    decision: [
      `Decision rule: ${judgement.guardRule}.`,
      `Uncertainty (expanded, k = 2): ${uncertaintyText(judgement.instrument, lead.instrument)}.`,
      'Specification limits are computed for this length, temperature and these connectors from the figures of the works; the acceptance limit lies inside them by the uncertainty.',
    ],
    rules: judgement.rules.map(ruleOf),
    direct: directRows(lead),
    notes: judgement.notes,
    signatures: ['Measured by, date', 'Approved, date'],
  }
}

function factsOf(lead: CertifiedLead): Certificate['facts'] {
  const { spec, test, judgement, measured } = lead
  const { cable, a, b } = spec
  const mm = (m: number) => `${figureText(m, 4)} m`
  const temp = `${figureText(lead.tempC, 1)} °C${lead.tempRecorded ? '' : ', assumed: not recorded'}`
  return [
    ['Cable', `${cable.cable}, ${figureText(cable.z0NominalOhm, 1)} Ω`],
    ['Lot', test?.lot ?? NOT_RECORDED],
    ['Drum', drumText(test, lead.drums)],
    ['Interval', NOT_RECORDED],
    ['End A', a.part],
    ['End B', b.part],
    ['Length', `${mm(spec.lengthM)} between reference planes`],
    ['Cable cut', `${mm(spec.cutM)} between cut faces`],
    ['Instrument', instrumentText(lead.instrument)],
    ['Calibration', calibrationText(lead.instrument)],
    ['Temperature', temp],
    [
      'Judged',
      `${figureText(judgement.judgedFromMhz, 1)} to ${figureText(judgement.judgedToMhz, 1)} MHz of ${measured.file} (${measured.format})`,
    ],
  ]
}

/** A lot leads to the drums of that lot that are still here, and not to the one that this lead came from. */
export function drumText(test: LeadTest | null, drums: Drum[]): string {
  const here = test ? drums.filter((drum) => drum.lot === test.lot).map((drum) => drum.drum) : []
  return here.length === 0 ? NOT_RECORDED : `${NOT_RECORDED}; of this lot in stock: ${here.join(', ')}`
}

function instrumentText(instrument: Instrument | null): string {
  if (!instrument) return NOT_RECORDED
  return `${instrument.instrument}, ${instrument.what ?? 'not described'}`
}

function calibrationText(instrument: Instrument | null): string {
  if (!instrument) return NOT_RECORDED
  return `calibrated ${instrument.calibratedDate ?? NOT_RECORDED}, due ${instrument.dueDate ?? NOT_RECORDED}`
}

function uncertaintyText(u: InstrumentUncertainty, instrument: Instrument | null): string {
  const own = instrument && instrument.lossDb === u.lossDb && instrument.gamma === u.gamma
  const from = own ? `as stated for ${instrument.instrument}` : 'as given for this judgement'
  return `${figureText(u.lossDb)} dB of insertion loss, ${figureText(u.gamma, 4)} of reflection, ${instrument ? from : 'common practice of the trade, no instrument being named'}`
}

function ruleOf(rule: JudgedRule): CertificateRule {
  const { measured, limit, acceptance, unit, atMhz, falsePassPct, pass } = rule
  const figure = (value: number | null) =>
    value === null ? '–' : `${value.toFixed(unit === 'm' ? 4 : 3)} ${unit}`
  return {
    name: rule.name,
    measured:
      measured === null
        ? 'not judged'
        : `${figure(measured)}${atMhz === null ? '' : ` at ${figureText(atMhz, 1)} MHz`}`,
    limit: figure(limit),
    acceptance: figure(acceptance),
    risk:
      falsePassPct === null ? '–' : `${falsePassPct < 0.01 ? 'below 0.01' : figureText(falsePassPct, 2)} %`,
    result: pass === null ? 'not proven' : pass ? 'PASS' : 'FAIL',
    says: rule.says,
  }
}

/** What is tested with direct current: the limit from this lead's figures beside what stands on record. */
function directRows({ judgement: { direct }, test }: CertifiedLead): Certificate['direct'] {
  const hipot = test
    ? `${figureText(test.hipotKvDc, 2)} kV DC on record, leakage ${figureText(test.leakUa, 2)} µA`
    : NOT_RECORDED
  return [
    [
      'Continuity',
      `at most ${figureText(direct.innerMilliohm, 1)} mΩ inner, ${figureText(direct.outerMilliohm, 1)} mΩ outer`,
      test ? `${test.continuity} on record; resistance ${NOT_RECORDED}` : NOT_RECORDED,
    ],
    [
      'Insulation',
      `at least ${figureText(direct.insulationMegohm, 0)} MΩ (${direct.insulationSource})`,
      NOT_RECORDED,
    ],
    [
      'High voltage',
      `core of the cable tested at ${figureText(direct.hipotKvDc, 2)} kV DC; ${direct.hipotCaution}`,
      hipot,
    ],
  ]
}
