import { useState } from 'react'
import type { LabelDoubt } from '../../../works/floor-api.ts'
import { useMe } from '../../access/me-state.tsx'
import { Refused } from '../../api.ts'
import { answerLabelDoubt } from '../../parts/print-label.ts'
import { instant } from '../../works-clock.ts'
import { HandButton } from './hand-button.tsx'

interface Props {
  doubts: LabelDoubt[]
  tell: (text: string, wrong?: boolean) => void
}

/** A label that may have been printed: somebody is to look at the printer. One at a time, the oldest first. */
export function LabelQuestion({ doubts, tell }: Props) {
  const [answered, setAnswered] = useState<ReadonlySet<string>>(new Set())
  const [busy, setBusy] = useState(false)
  const barred = useMe().whyNot('print-label')
  const open = doubts.filter(({ key }) => !answered.has(key))
  const doubt = open[0]
  if (!doubt) return null
  const { serial, printer, at, again } = doubt

  async function answer(asked: LabelDoubt, given: 'it is there' | 'print again') {
    setBusy(true)
    try {
      const said = await answerLabelDoubt(asked, given)
      setAnswered((before) => new Set(before).add(asked.key))
      tell(said)
    } catch (error) {
      const why = error instanceof Refused ? error.message : 'The server does not answer.'
      tell(`The question about the label of ${serial} stays open: ${why}`, true)
    }
    setBusy(false)
  }

  return (
    <section className="banner bad changed-cut" aria-labelledby="label-doubt-head">
      <div className="grow stack close">
        <h2 id="label-doubt-head" className="wraps">
          {again ? 'The label asked for again' : 'The label'} of {serial} may have been printed: look at{' '}
          {printer}
        </h2>
        <p>
          It was sent {instant(at)}, and what became of it is not known. Two labels of one serial must not end
          on two coils.{' '}
          {open.length > 1 && <span className="quiet">{open.length - 1} more to look for after it.</span>}
        </p>
        {barred && <p className="small why-not">{barred}</p>}
      </div>
      <HandButton
        letter="H"
        disabled={busy || barred !== null}
        onPress={() => void answer(doubt, 'it is there')}
      >
        It is there
      </HandButton>
      <HandButton
        letter="K"
        disabled={busy || barred !== null}
        onPress={() => void answer(doubt, 'print again')}
      >
        Print again
      </HandButton>
    </section>
  )
}
