import { useState } from 'react'
import type { LabelDoubt } from '../../works/floor-api.ts'
import { useMe } from '../access/me-state.tsx'
import { many } from '../format.ts'
import { answerLabelDoubt } from '../parts/print-label.ts'
import { Refusal } from '../parts/refusal.tsx'
import { useAnswer } from '../use-answer.ts'
import { instant } from '../works-clock.ts'

/** Labels that may have been printed, at all printers, for whoever can look there. Nothing where there is none. */
export function LabelDoubts() {
  const { answer, error, reload } = useAnswer<{ doubts: LabelDoubt[] }>('/api/label-doubts')
  const [said, setSaid] = useState<string | null>(null)
  const doubts = answer?.doubts ?? []
  return (
    <>
      {error && <Refusal error={error} />}
      <p role="status" className={said ? 'wraps' : 'spoken'}>
        {said && <strong>✓ {said}</strong>}
      </p>
      {doubts.length > 0 && (
        <section className="stack" aria-label="Labels that may have been printed">
          <p className="sentence">
            <strong>{many(doubts.length, 'label')} may have been printed.</strong> The server stopped, or lost
            the printer, before it knew. Look at the printer: two labels of one serial must not end on two
            coils.
          </p>
          {doubts.map((doubt) => (
            <Doubt key={doubt.key} doubt={doubt} onSaid={setSaid} onAnswered={reload} />
          ))}
        </section>
      )}
    </>
  )
}

interface DoubtProps {
  doubt: LabelDoubt
  onSaid: (text: string) => void
  onAnswered: () => Promise<void>
}

function Doubt({ doubt, onSaid, onAnswered }: DoubtProps) {
  const { serial, printer, at, again } = doubt
  const barred = useMe().whyNot('print-label')
  const [busy, setBusy] = useState(false)
  const [error, setError] = useState<Error | null>(null)

  async function answer(given: 'it is there' | 'print again') {
    if (busy || barred !== null) return
    setBusy(true)
    try {
      onSaid(await answerLabelDoubt(doubt, given))
      await onAnswered()
    } catch (failure) {
      setError(failure as Error)
    }
    setBusy(false)
  }
  const blocked = busy || barred !== null || undefined
  return (
    <article className="stack close inspection" aria-label={`Label of ${serial}`}>
      <p className="wraps">
        <strong>{serial}</strong> on {printer}, sent {instant(at)}
        {again && ', asked for again by a person'}.
      </p>
      <div className="row">
        <button
          type="button"
          className="button strong"
          aria-disabled={blocked}
          onClick={() => void answer('it is there')}
        >
          It is there
        </button>
        <button
          type="button"
          className="button"
          aria-disabled={blocked}
          onClick={() => void answer('print again')}
        >
          Print again
        </button>
      </div>
      {barred && <p className="small why-not">{barred}</p>}
      {error && <Refusal error={error} />}
    </article>
  )
}
