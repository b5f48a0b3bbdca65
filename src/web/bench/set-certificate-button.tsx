import { useState } from 'react'
import { askPdf } from '../api.ts'
import { savePdf } from '../parts/save-pdf.ts'
import type { AskedSets } from './sets-question.ts'

interface Props {
  serials: string[]
  number: number
  asked: AskedSets
}

/** The paper of one set, from what is on record of its leads. */
export function SetCertificateButton({ serials, number, asked }: Props) {
  const [said, setSaid] = useState<string | null>(null)
  async function draw() {
    setSaid('drawing …')
    const { by, window } = asked
    try {
      const pdf = await askPdf('/api/bench/set-certificate', {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({ serials, window, fMhz: by.unit === 'deg' ? by.fMhz : null }),
      })
      savePdf(pdf, `set-${number}-${serials[0]}.pdf`)
      setSaid(null)
    } catch (failure) {
      setSaid((failure as Error).message)
    }
  }
  return (
    <>
      <button type="button" className="link-button" onClick={() => void draw()}>
        Certificate of set {number}
      </button>
      {said && <span role="status">{said}</span>}
    </>
  )
}
