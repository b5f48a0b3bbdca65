import { useState } from 'react'
import type { CommandBody, CommandOf } from '../../ledger/command.ts'
import { claimWords, NOT_SAID } from '../../ledger/trace-words.ts'
import { typedLength } from '../../quantity/typed-length.ts'
import type { ComplaintsAnswer } from '../../works/records-api.ts'
import { useMe } from '../access/me-state.tsx'
import { many } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { Refusal } from '../parts/refusal.tsx'
import { SelectField } from '../parts/select-field.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { TextField } from '../parts/text-field.tsx'
import { BookingNote } from '../stock/booking-note.tsx'
import { useBook } from '../stock/use-book.ts'
import { useAnswer } from '../use-answer.ts'
import { happenedOn } from '../works-clock.ts'
import { PageButton } from './page-button.tsx'
import { recordsHash } from './records-view.tsx'

type Complaint = ComplaintsAnswer['complaints'][number]

const CLAIMS = [
  ['short', 'it is short'],
  ['faulty', 'it is faulty'],
] as const
const METHODS = ['tape', 'measuring wheel', 'marks on the jacket', 'weight', 'reflectometry', NOT_SAID]
const VERDICTS = [
  ['upheld', 'upheld: they are right'],
  ['refused', 'refused: we are right'],
  ['settled', 'settled without a finding'],
] as const

const COLUMNS: Column<Complaint>[] = [
  { key: 'complaint', head: 'Complaint', track: '6rem', cell: (c) => c.complaint },
  {
    key: 'serial',
    head: 'Piece',
    track: '7rem',
    cell: (c) => <a href={recordsHash('follow', c.serial)}>{c.serial}</a>,
  },
  {
    key: 'what',
    head: 'What',
    track: 'minmax(0, 1fr)',
    cell: (c) => (
      <span className="wraps">
        {c.declaredText || 'no length declared'}, {c.cable}
      </span>
    ),
  },
  {
    key: 'claim',
    head: 'Claim',
    track: 'minmax(0, 2fr)',
    wide: true,
    cell: (c) => <span className="wraps">{claimWords(c)}</span>,
  },
  { key: 'since', head: 'Since', track: '7rem', cell: (c) => happenedOn(c.openedAt) },
  { key: 'state', head: 'State', track: '5rem', cell: (c) => (c.verdict === 'open' ? '! open' : c.verdict) },
]

/** A customer says short or faulty: it is opened, looked into on one page, and closed with its reason. */
export function ComplaintsView({ serial }: { serial: string | null }) {
  const { answer, error, reload } = useAnswer<ComplaintsAnswer>('/api/records/complaints')
  const [chosen, setChosen] = useState<string | null>(null)
  if (error) return <Refusal error={error} />
  if (!answer) return <Skeleton />
  const { complaints } = answer
  const open = complaints.filter((c) => c.verdict === 'open')
  const one = complaints.find((c) => c.complaint === chosen) ?? open[0]
  return (
    <>
      <p className="sentence wraps">
        <strong>
          {open.length === 0
            ? 'No complaint is open.'
            : `${many(open.length, 'complaint is', 'complaints are')} open.`}
        </strong>{' '}
        {complaints.length === 0
          ? 'None was ever recorded.'
          : `${many(complaints.length, 'complaint')} on record.`}
      </p>
      {complaints.length > 0 && (
        <DataTable
          caption="Complaints"
          columns={COLUMNS}
          rows={complaints}
          keyOf={(c) => c.complaint}
          chosen={one?.complaint ?? null}
          onChoose={setChosen}
        />
      )}
      {one && <OneComplaint key={one.complaint} complaint={one} onBooked={reload} />}
      <OpenForm key={serial ?? ''} serial={serial ?? ''} onBooked={reload} />
    </>
  )
}

function OneComplaint({ complaint, onBooked }: { complaint: Complaint; onBooked: () => Promise<void> }) {
  const [verdict, setVerdict] = useState<CommandOf<'close-complaint'>['verdict']>('upheld')
  const [note, setNote] = useState('')
  const { whyNot } = useMe()
  const why = whyNot('close-complaint')
  const booking = useBook(onBooked)
  const ready = note.trim() !== '' && why === null
  const { complaint: id, serial, where } = complaint
  return (
    <section className="stack" aria-labelledby="one-complaint">
      <h2 id="one-complaint">{id}</h2>
      <p className="wraps">
        They say: {claimWords(complaint)}. {complaint.closedNote && `Closed: ${complaint.closedNote}`}
      </p>
      <div className="row">
        <PageButton serial={serial} />
        <a href={recordsHash('follow', serial)}>Everything known of {serial}</a>
        {where === 'shipped' && <a href="/stock#send">It comes back</a>}
        {where === 'returned' && <a href="/stock#send">It is back: inspect it</a>}
      </div>
      {complaint.verdict === 'open' && (
        <form
          className="row scan-row"
          aria-label={`Close ${id}`}
          onSubmit={(event) => {
            event.preventDefault()
            const body: CommandBody = { kind: 'close-complaint', complaint: id, verdict, note: note.trim() }
            if (ready) void booking.book([body], `${id} is closed.`)
          }}
        >
          <SelectField label="Verdict" value={verdict} options={VERDICTS} onValue={setVerdict} />
          <TextField label="Why, and what was agreed" value={note} onValue={setNote} />
          <button type="submit" className="button strong" aria-disabled={!ready || booking.busy}>
            Close it
          </button>
        </form>
      )}
      {why && <p className="small why-not">{why}</p>}
      <BookingNote {...booking} />
    </section>
  )
}

function OpenForm({ serial: given, onBooked }: { serial: string; onBooked: () => Promise<void> }) {
  const [serial, setSerial] = useState(given)
  const [claim, setClaim] = useState<'short' | 'faulty'>('short')
  const [measured, setMeasured] = useState('')
  const [spread, setSpread] = useState('')
  const [typedMethod, setMethod] = useState<string | null>(null)
  const [note, setNote] = useState('')
  const { whyNot } = useMe()
  const why = whyNot('open-complaint')
  const booking = useBook(onBooked)
  const short = claim === 'short'
  const method = typedMethod ?? (short ? 'tape' : NOT_SAID)
  // of a faulty piece no length is asked
  const claimed = short ? lengthOf(measured) : null
  const half = short ? lengthOf(spread) : null
  const wrong = [claimed, half].find((l) => typeof l === 'string')
  const ready = serial.trim() !== '' && why === null && wrong === undefined && method.trim() !== ''
  return (
    <section className="stack" aria-labelledby="open-complaint">
      <h2 id="open-complaint">A customer complains</h2>
      <form
        className="inputs record-form"
        aria-label="A complaint"
        onSubmit={(event) => {
          event.preventDefault()
          if (!ready || typeof claimed === 'string' || typeof half === 'string') return
          const body: CommandBody = {
            ...{
              kind: 'open-complaint',
              serial: serial.trim(),
              claim,
              claimedUm: claimed,
              method: method.trim(),
            },
            // ± as a customer says it holds 95 of 100: two standard deviations
            ...{ uncUm: half === null ? null : half / 2, note: note.trim() === '' ? null : note.trim() },
          }
          void booking.book([body], `The complaint about ${serial.trim()} is opened.`)
        }}
      >
        <TextField label="Serial" value={serial} onValue={setSerial} />
        <SelectField label="They say" value={claim} options={CLAIMS} onValue={setClaim} />
        {short && <LengthFields {...{ measured, spread, claimed, half, setMeasured, setSpread }} />}
        <TextField
          label={short ? 'How they measured' : 'How they found it'}
          value={method}
          onValue={setMethod}
          options={METHODS}
        />
        <TextField label="What else they say" value={note} onValue={setNote} />
        <button type="submit" className="main-action" aria-disabled={!ready || booking.busy}>
          Open the complaint
        </button>
      </form>
      {why && <p className="small why-not">{why}</p>}
      <BookingNote {...booking} />
    </section>
  )
}

interface LengthProps {
  measured: string
  spread: string
  /** As lengthOf has them. */
  claimed: number | string | null
  half: number | string | null
  setMeasured: (typed: string) => void
  setSpread: (typed: string) => void
}

/** What the customer measured, and how sure they are. */
function LengthFields({ measured, spread, claimed, half, setMeasured, setSpread }: LengthProps) {
  return (
    <>
      <TextField
        label="They measured"
        value={measured}
        onValue={setMeasured}
        hint="With its unit, such as 99.2m; may be empty"
        wrong={typeof claimed === 'string' ? claimed : null}
      />
      <TextField
        label="How sure, ±"
        value={spread}
        onValue={setSpread}
        hint="With its unit, such as 0.2m; empty: not said"
        wrong={typeof half === 'string' ? half : null}
      />
    </>
  )
}

/** µm; null where nothing is written; what is wrong in words. */
function lengthOf(typed: string): number | string | null {
  if (typed.trim() === '') return null
  const read = typedLength(typed)
  return 'wrong' in read ? read.wrong : read.lengthUm
}
