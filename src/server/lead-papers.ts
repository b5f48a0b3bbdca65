import { leadCertificatePdf } from '../documents/certificates.ts'
import { setCertificatePdf } from '../documents/set-certificates.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { type JudgeQuestion, judgedLead } from '../works/judged-lead.ts'
import { leadAsked } from '../works/lead-asked.ts'
import type { MoreLead } from '../works/more-lead.ts'
import type { Works } from '../works/works.ts'

/** What a certificate is asked for with. */
export interface CertificateOrder {
  works: Works
  more: MoreLead
  question: JudgeQuestion
  printedAt: string
}

/** Judges the file anew and puts what comes of it on paper. */
export async function certificatePdf({
  works,
  more,
  question,
  printedAt,
}: CertificateOrder): Promise<Uint8Array> {
  const { spec, measured, tempC, judgement } = judgedLead(works, more, question)
  const { test } = leadAsked(works, question.lead)
  return leadCertificatePdf({
    ...{ spec, test, measured, tempC, judgement, printedAt },
    named: question.lead.serial ?? question.lead.spec ?? '',
    tempRecorded: question.tempC !== null || spec.tempC !== null,
    instrument: more.instruments?.find((i) => i.instrument === question.instrument) ?? null,
    drums: works.drums,
    works: works.site.works,
  })
}

/** Which finished leads, and the window they are to lie in: of phase at a frequency, or of delay where it is null. */
export interface SetOrder {
  serials: string[]
  window: number
  fMhz: number | null
}

export async function setPdf(
  works: Works,
  { serials, window, fMhz }: SetOrder,
  printedAt: string,
): Promise<Uint8Array> {
  const tests = [...new Set(serials)].map((serial) => {
    const test = works.leadTests.find((t) => t.serial === serial)
    if (!test) throw new LastmetreError('unknown-id', `There is no lead ${serial} in lead_tests.csv.`)
    return test
  })
  const by = fMhz === null ? ({ unit: 'ps' } as const) : ({ unit: 'deg', fMhz } as const)
  return setCertificatePdf({ tests, by, window, printedAt, drums: works.drums, works: works.site.works })
}
