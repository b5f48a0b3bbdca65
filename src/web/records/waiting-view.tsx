import { useState } from 'react'
import type { CommandBody } from '../../ledger/command.ts'
import type { AsideRow } from '../../ledger/state-rows.ts'
import type { AsidesAnswer } from '../../works/floor-api.ts'
import { useMe } from '../access/me-state.tsx'
import { many } from '../format.ts'
import { Refusal } from '../parts/refusal.tsx'
import { SelectField } from '../parts/select-field.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { TextField } from '../parts/text-field.tsx'
import { BookingNote } from '../stock/booking-note.tsx'
import { useBook } from '../stock/use-book.ts'
import { useAnswer } from '../use-answer.ts'
import { instant } from '../works-clock.ts'
import { LabelDoubts } from './label-doubts.tsx'

const WAYS = [
  ['booked anew', 'I booked it anew as it really was'],
  ['dropped', 'it did not happen: drop it'],
] as const

/** Records that were sent late and that the hall as it is now could not take. */
export function WaitingView() {
  const { answer, error, reload } = useAnswer<AsidesAnswer>('/api/ledger/asides')
  if (error) return <Refusal error={error} />
  if (!answer) return <Skeleton />
  const { asides } = answer
  return (
    <section className="stack" aria-label="Records that wait">
      <LabelDoubts />
      <p className="sentence">
        <strong>
          {asides.length === 0
            ? 'No record waits.'
            : `${many(asides.length, 'record waits', 'records wait')} for a person.`}
        </strong>{' '}
        {asides.length === 0
          ? 'Every record that a tablet sent after a break in the network was booked.'
          : `${asides.length === 1 ? 'It was made while the network was down, and the hall had changed before it' : 'They were made while the network was down, and the hall had changed before they'} came. Look at what really lies there, book it, and settle ${asides.length === 1 ? 'it' : 'each'}.`}
      </p>
      {asides.map((aside) => (
        <Waiting key={aside.seq} aside={aside} onBooked={reload} />
      ))}
    </section>
  )
}

function Waiting({ aside, onBooked }: { aside: AsideRow; onBooked: () => Promise<void> }) {
  const { seq, commandKind, commandText, why, station, actor, at } = aside
  const [how, setHow] = useState<'booked anew' | 'dropped'>('booked anew')
  const [note, setNote] = useState('')
  const { whyNot } = useMe()
  const barred = whyNot('settle-record')
  const booking = useBook(onBooked)
  const ready = note.trim() !== '' && barred === null
  return (
    <article className="stack inspection" aria-label={`Record ${seq}`}>
      <p className="wraps">
        <strong>{commandKind.replaceAll('-', ' ')}</strong> at {station} by {actor}, {instant(at)}. Not
        booked: {why}
      </p>
      <details className="small">
        <summary>The record word for word</summary>
        <pre className="word-for-word">{spaced(commandText)}</pre>
      </details>
      <form
        className="row scan-row"
        aria-label={`Settle record ${seq}`}
        onSubmit={(event) => {
          event.preventDefault()
          const body: CommandBody = { kind: 'settle-record', aside: seq, how, note: note.trim() }
          if (ready) void booking.book([body], `Record ${seq} is settled.`)
        }}
      >
        <SelectField label="What was done" value={how} options={WAYS} onValue={setHow} />
        <TextField label="What was found" value={note} onValue={setNote} />
        <button type="submit" className="button strong" aria-disabled={!ready || booking.busy}>
          Settled
        </button>
      </form>
      {barred && <p className="small why-not">{barred}</p>}
      <BookingNote {...booking} />
    </article>
  )
}

function spaced(text: string): string {
  try {
    return JSON.stringify(JSON.parse(text), null, 1)
  } catch {
    return text
  }
}
