import { useState } from 'react'
import type { Judgement } from '../../lead/judge.ts'
import type { MeasuredFile } from '../../works/judged-lead.ts'
import { askPdf } from '../api.ts'
import { Refusal } from '../parts/refusal.tsx'
import { fileNameOf, savePdf } from '../parts/save-pdf.ts'
import type { AskedLead } from './judge-question.ts'

interface Props {
  asked: AskedLead
  file: MeasuredFile
  verdict: Judgement['verdict']
}

/** Draws the paper of this judgement; where it does not pass, the paper is a report and says so. */
export function CertificateButton({ asked, file, verdict }: Props) {
  const [busy, setBusy] = useState(false)
  const [error, setError] = useState<Error | null>(null)
  const word = verdict === 'pass' ? 'Certificate' : 'Measurement report'

  async function draw() {
    setBusy(true)
    setError(null)
    const form = new FormData()
    form.append('question', JSON.stringify(asked))
    form.append('file', new Blob([file.bytes.slice()]), file.name)
    try {
      const pdf = await askPdf('/api/bench/certificate', { method: 'POST', body: form })
      savePdf(pdf, `certificate-${fileNameOf(asked.serial ?? asked.spec ?? '')}.pdf`)
    } catch (failure) {
      setError(failure as Error)
    }
    setBusy(false)
  }
  return (
    <div className="stack close">
      <div className="row">
        <button
          type="button"
          className="main-action"
          aria-disabled={busy}
          onClick={() => !busy && void draw()}
        >
          {word} as PDF
        </button>
        <span className="small quiet" role="status">
          {busy ? 'Drawing …' : 'Keep the file: records of leads are not kept here yet.'}
        </span>
      </div>
      {error && <Refusal error={error} />}
    </div>
  )
}
