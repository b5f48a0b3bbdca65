import { readFileSync } from 'node:fs'
import { beforeAll, describe, expect, it } from 'vitest'
import { type CertifiedLead, leadCertificate } from '../../src/dispatch/certificate.ts'
import { setCertificate } from '../../src/dispatch/set-certificate.ts'
import { leadCertificatePdf } from '../../src/documents/certificates.ts'
import { setCertificatePdf } from '../../src/documents/set-certificates.ts'
import type { Instrument } from '../../src/lead/instrument.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { judgedLead } from '../../src/works/judged-lead.ts'
import { leadAsked } from '../../src/works/lead-asked.ts'
import { parseWorks } from '../../src/works/parse-works.ts'
import type { Works } from '../../src/works/works.ts'

const INSTRUMENT: Instrument = {
  ...{ instrument: 'VNA-1', what: 'two-port analyser', lossDb: 0.04, gamma: 0.008 },
  ...{ calibratedDate: '2030-06-18', dueDate: '2031-06-18' },
}
let works: Works
beforeAll(async () => {
  const { files } = await readWorksFolder('demo/kelderwick')
  const result = parseWorks('kelderwick', files)
  if (!result.ok) throw new Error(JSON.stringify(result.problems[0]))
  works = result.works
})

function certified(file: string, serial: string, dueDate = INSTRUMENT.dueDate): CertifiedLead {
  const instrument = { ...INSTRUMENT, dueDate }
  const lead = { serial, spec: null }
  const { spec, measured, tempC, judgement } = judgedLead(
    works,
    { connectorPower: null, instruments: [instrument] },
    {
      ...{ lead, adapterA: null, adapterB: null, instrument: 'VNA-1', uncertainty: {}, tempC: null },
      file: { name: file, bytes: readFileSync(`demo/measured/${file}`) },
    },
  )
  const { test } = leadAsked(works, lead)
  return {
    ...{ spec, test, named: serial, measured, tempC, tempRecorded: true, judgement, instrument },
    ...{ drums: works.drums, works: works.site.works, printedAt: '2031-03-03 07:42 UTC' },
  }
}

describe('the certificate of a lead', () => {
  it('names limits, guard rule, instrument with due date, temperature, uncertainty and lot', () => {
    const { title, facts, decision, rules, verdict } = leadCertificate(
      certified('KJ31-4001.s2p', 'KJ31-4001'),
    )
    expect(title).toBe('Certificate: lead KJ31-4001')
    expect(verdict).toMatch(/^PASS/)
    const fact = Object.fromEntries(facts)
    expect(fact.Calibration).toContain('due 2031-06-18')
    expect(fact.Lot).toBe('L059-3106A')
    expect(fact.Interval).toBe('not recorded')
    expect(fact.Temperature).toBe('21 °C')
    // JCGM 106:2012 8.3.2: acceptance limit = specification limit less U
    expect(decision.join(' ')).toContain('JCGM 106:2012 8.3.2')
    expect(decision.join(' ')).toContain('0.04 dB')
    const loss = rules.find((rule) => rule.name === 'insertion loss')!
    expect(Number.parseFloat(loss.limit) - Number.parseFloat(loss.acceptance)).toBeCloseTo(0.04, 6)
    expect(rules.every((rule) => rule.result === 'PASS')).toBe(true)
  })

  it('is a report where the lead fails, and where the instrument proves nothing', () => {
    const dent = leadCertificate(certified('KJ31-4005-dent.s2p', 'KJ31-4005'))
    expect(dent.title).toMatch(/^Measurement report/)
    expect(dent.verdict).toMatch(/^FAIL.*not a certificate/)
    const overdue = leadCertificate(certified('KJ31-4001.s2p', 'KJ31-4001', '2031-03-02'))
    expect(overdue.verdict).toMatch(/^NOT PROVEN/)
    expect(overdue.title).toMatch(/^Measurement report/)
  })

  it('says of what nobody recorded that it is not recorded', () => {
    const lead = certified('KJ31-4001.s2p', 'KJ31-4001')
    const { facts, direct } = leadCertificate({ ...lead, test: null, instrument: null, tempRecorded: false })
    const fact = Object.fromEntries(facts)
    for (const name of ['Lot', 'Drum', 'Instrument', 'Calibration']) expect(fact[name]).toBe('not recorded')
    expect(fact.Temperature).toContain('assumed')
    expect(direct.every(([, , found]) => found.includes('not recorded'))).toBe(true)
  })

  it('is drawn with a long name, and refused where a letter of the name is missing', async () => {
    const lead = certified('KJ31-4001.s2p', 'KJ31-4001')
    const long = await leadCertificatePdf({ ...lead, named: `${'W'.repeat(300)}<b>` })
    expect(new TextDecoder().decode(long.subarray(0, 5))).toBe('%PDF-')
    await expect(leadCertificatePdf({ ...lead, named: '導線' })).rejects.toThrow('U+5C0E')
  })
})

describe('the certificate of a set', () => {
  const of = (serials: string[], window: number) => ({
    ...{ by: { unit: 'ps' as const }, window, drums: works.drums, works: works.site.works, printedAt: 'now' },
    tests: works.leadTests.filter((test) => serials.includes(test.serial)),
  })

  it('compares the largest difference with the window and owns up to what is not guarded', () => {
    // lead_tests.csv: 12106.4 ps and 12103.8 ps
    const near = setCertificate(of(['KJ31-4001', 'KJ31-4002'], 3))
    expect(near.verdict).toBe('PASS: the leads lie 2.6 ps apart in delay; allowed are 3 ps.')
    expect(near.leads.map(({ test }) => test.serial)).toEqual(['KJ31-4002', 'KJ31-4001'])
    expect(near.decision.join(' ')).toContain('simple acceptance')
    expect(setCertificate(of(['KJ31-4001', 'KJ31-4002'], 2.5)).verdict).toMatch(/^FAIL/)
  })

  it('needs two leads and is drawn', async () => {
    expect(() => setCertificate(of(['KJ31-4001'], 3))).toThrow('two leads')
    const pdf = await setCertificatePdf(of(['KJ31-4001', 'KJ31-4002'], 3))
    expect(new TextDecoder().decode(pdf.subarray(0, 5))).toBe('%PDF-')
  })
})
