import { useState } from 'react'
import { useMe } from '../access/me-state.tsx'
import { askPdf, Refused } from '../api.ts'
import { labelPath, printLabelAgain } from '../parts/print-label.ts'
import { Refusal } from '../parts/refusal.tsx'
import { fileNameOf, savePdf } from '../parts/save-pdf.ts'

const REASON = 'asked for at the shelf'

/** Prints the label of a piece again where the piece was made, or hands it over as a PDF where no printer is recorded. */
export function LabelAnew({ serial }: { serial: string }) {
  const { whyNot } = useMe()
  const blocked = whyNot('print-label') !== null
  const [busy, setBusy] = useState(false)
  const [said, setSaid] = useState<string | null>(null)
  const [error, setError] = useState<Error | null>(null)

  async function print() {
    setBusy(true)
    setSaid(null)
    setError(null)
    try {
      setSaid(await printed(serial))
    } catch (failure) {
      setError(failure as Error)
    }
    setBusy(false)
  }
  return (
    <>
      <button
        type="button"
        className="button"
        aria-disabled={blocked || busy}
        onClick={() => !blocked && !busy && void print()}
      >
        Label anew
      </button>
      <p role="status" className={said ? 'wraps' : 'spoken'}>
        {said && <strong>✓ {said}</strong>}
      </p>
      {error && <Refusal error={error} />}
    </>
  )
}

async function printed(serial: string): Promise<string> {
  try {
    return `The label of ${serial} prints on ${await printLabelAgain(serial, REASON)}.`
  } catch (failure) {
    if (!(failure instanceof Refused) || failure.status !== 404) throw failure
  }
  const pdf = await askPdf(`${labelPath(serial)}/sheet`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ reason: REASON }),
  })
  savePdf(pdf, `label-${fileNameOf(serial)}.pdf`)
  return `The label of ${serial} is saved as a PDF: print it and put it over the old one.`
}
