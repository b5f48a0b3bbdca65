import { useState } from 'react'
import type { CommandBody } from '../../ledger/command.ts'
import type { Drum } from '../../strip/drum.ts'
import { typedFigure } from '../../works/receipt-text.ts'
import type { StockAnswer } from '../../works/stock-api.ts'
import { useMe } from '../access/me-state.tsx'
import { SelectField } from '../parts/select-field.tsx'
import { TextField } from '../parts/text-field.tsx'
import { BookingNote } from './booking-note.tsx'
import { useBook } from './use-book.ts'

type Deed = 'hold-drum' | 'release-drum' | 'move-drum' | 'weigh-drum'

const HOLDS = [
  ['qc_hold', 'held by quality'],
  ['customer_sample', "customer's sample"],
  ['reserved', 'reserved'],
] as const

/** Move, weigh, hold or release one drum, and its label. */
export function DrumActions(props: { drum: Drum; stock: StockAnswer; onBooked: () => Promise<void> }) {
  const [open, setOpen] = useState(false)
  const { drum } = props
  return (
    <details className="small" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary aria-label={`Change ${drum.drum}`}>Change</summary>
      {open && <DrumForm {...props} />}
    </details>
  )
}

function DrumForm({
  drum,
  stock,
  onBooked,
}: {
  drum: Drum
  stock: StockAnswer
  onBooked: () => Promise<void>
}) {
  const deeds: [Deed, string][] = [
    ['move-drum', 'Move it'],
    ['weigh-drum', 'Weigh it'],
    drum.status === 'free' ? ['hold-drum', 'Hold it'] : ['release-drum', 'Release it'],
  ]
  const [deed, setDeed] = useState<Deed>('move-drum')
  const [text, setText] = useState('')
  const [hold, setHold] = useState<(typeof HOLDS)[number][0]>('qc_hold')
  const [tare, setTare] = useState(String(drum.tareKg))
  const { whyNot } = useMe()
  const booking = useBook(onBooked)
  const line = stock.mounted[drum.drum]
  const why = whyNot(deed)
  const body = bodyOf(drum.drum, deed, text, hold, tare)
  const words = deeds.find(([id]) => id === deed)?.[1] ?? ''
  const label = {
    'move-drum': 'New place',
    'weigh-drum': 'Gross, kg',
    'hold-drum': 'Reason',
    'release-drum': 'Reason',
  }
  return (
    <form
      className="stack drum-form"
      aria-label={`Change ${drum.drum}`}
      onSubmit={(event) => {
        event.preventDefault()
        if (body && !why)
          void booking
            .book([body], `${drum.drum}: ${words.toLowerCase().replace(' it', '')} booked.`)
            .then((ok) => ok && setText((now) => (now === text ? '' : now)))
      }}
    >
      {line && <p className="small">It is on {line} now.</p>}
      <div className="row">
        <SelectField label="What is to be done?" value={deed} options={deeds} onValue={setDeed} />
        {deed === 'hold-drum' && <SelectField label="As" value={hold} options={HOLDS} onValue={setHold} />}
        <TextField label={label[deed]} value={text} onValue={setText} decimal={deed === 'weigh-drum'} />
        {deed === 'weigh-drum' && <TextField label="Tare, kg" value={tare} onValue={setTare} decimal />}
        <button type="submit" className="button strong" aria-disabled={!body || why !== null || booking.busy}>
          {words}
        </button>
        <a
          href={`/api/stock/drums/${encodeURIComponent(drum.drum)}/label.pdf`}
          target="_blank"
          rel="noreferrer"
        >
          Label of {drum.drum} (PDF)
        </a>
      </div>
      {why && <p className="small why-not">{why}</p>}
      <BookingNote {...booking} />
    </form>
  )
}

function bodyOf(
  drum: string,
  deed: Deed,
  text: string,
  status: (typeof HOLDS)[number][0],
  tare: string,
): CommandBody | null {
  const words = text.trim()
  if (words === '') return null
  if (deed === 'move-drum') return { kind: deed, drum, place: words }
  if (deed === 'hold-drum') return { kind: deed, drum, status, reason: words }
  if (deed === 'release-drum') return { kind: deed, drum, reason: words }
  const [grossKg, tareKg] = [typedFigure(text), typedFigure(tare)]
  return grossKg === null || tareKg === null ? null : { kind: deed, drum, grossKg, tareKg }
}
