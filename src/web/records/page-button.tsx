import { useState } from 'react'
import { askPdf } from '../api.ts'
import { Refusal } from '../parts/refusal.tsx'
import { fileNameOf, savePdf } from '../parts/save-pdf.ts'

/** Everything known of a piece on paper. */
export function PageButton({ serial }: { serial: string }) {
  const [busy, setBusy] = useState(false)
  const [error, setError] = useState<Error | null>(null)

  async function draw() {
    setBusy(true)
    setError(null)
    try {
      const pdf = await askPdf(`/api/records/pieces/${encodeURIComponent(serial)}/page.pdf`, {})
      savePdf(pdf, `piece-${fileNameOf(serial)}.pdf`)
    } catch (failure) {
      setError(failure as Error)
    }
    setBusy(false)
  }
  return (
    <>
      <button type="button" className="button" aria-disabled={busy} onClick={() => !busy && void draw()}>
        {busy ? 'Drawing …' : 'Page as PDF'}
      </button>
      {error && <Refusal error={error} />}
    </>
  )
}
