import { useState } from 'react'
import type { CommandBody, CommandOf } from '../../ledger/command.ts'
import type { PieceRow } from '../../ledger/state-rows.ts'
import { useMe } from '../access/me-state.tsx'
import { SelectField } from '../parts/select-field.tsx'
import { TextField } from '../parts/text-field.tsx'
import { BookingNote } from './booking-note.tsx'
import { ScanField } from './scan-field.tsx'
import type { StockViewProps } from './stock-view.tsx'
import { useBook } from './use-book.ts'

type Verdict = CommandOf<'inspect-return'>['verdict']

const VERDICTS = [
  ['shelf', 'sound and whole: on the shelf'],
  ['stock', 'sound, to be cut: back into the store'],
  ['scrap', 'scrap'],
] as const

/** A piece comes back: it is booked, then inspected, then it is shelf, store or scrap. */
export function ReturnForm({ stock, onBooked }: StockViewProps) {
  const [serial, setSerial] = useState('')
  const [reason, setReason] = useState('')
  const { whyNot } = useMe()
  const why = whyNot('return-piece')
  const booking = useBook(onBooked)
  const waiting = stock.pieces.filter((p) => p.where === 'returned')
  const ready = serial !== '' && reason.trim() !== '' && why === null
  return (
    <section className="stack" aria-labelledby="return-head">
      <h2 id="return-head">Came back</h2>
      <ScanField label="Scan or type the serial" word="This piece" onCode={setSerial} />
      <p role="status">{serial === '' ? 'No piece chosen.' : <strong>{serial}</strong>}</p>
      <form
        className="row scan-row"
        aria-label="A piece that came back"
        onSubmit={(event) => {
          event.preventDefault()
          if (!ready) return
          const body: CommandBody = { kind: 'return-piece', serial, reason: reason.trim() }
          void booking.book([body], `${serial} is back and waits for inspection.`).then((ok) => {
            if (!ok) return
            // the next piece may have been scanned meanwhile, and why typed
            setSerial((now) => (now === serial ? '' : now))
            setReason((now) => (now === reason ? '' : now))
          })
        }}
      >
        <TextField label="Why it came back" value={reason} onValue={setReason} />
        <button type="submit" className="button strong" aria-disabled={!ready || booking.busy}>
          It is back
        </button>
      </form>
      {why && <p className="small why-not">{why}</p>}
      <BookingNote {...booking} />
      {waiting.map((piece) => (
        <Inspection key={piece.serial} piece={piece} onBooked={onBooked} />
      ))}
    </section>
  )
}

function Inspection({ piece, onBooked }: { piece: PieceRow; onBooked: () => Promise<void> }) {
  const { serial } = piece
  const [verdict, setVerdict] = useState<Verdict>('shelf')
  const [place, setPlace] = useState('')
  const { whyNot } = useMe()
  const why = whyNot('inspect-return')
  const booking = useBook(onBooked)
  const ready = why === null && (verdict === 'scrap' || place.trim() !== '')
  const body: CommandBody = {
    ...{
      kind: 'inspect-return',
      serial,
      verdict,
      newDrum: null,
      putup: verdict === 'stock' ? piece.putup : null,
    },
    place: verdict === 'scrap' ? null : place.trim(),
    cause: verdict === 'scrap' ? 'return' : null,
  }
  return (
    <form
      className="stack inspection"
      aria-label={`Inspection of ${serial}`}
      onSubmit={(event) => {
        event.preventDefault()
        if (ready) void booking.book([body], `${serial} is inspected.`)
      }}
    >
      <p className="wraps">
        <strong>{serial}</strong>: {piece.declaredText}, {piece.cable}, lot {piece.lot}. What is it?
      </p>
      <div className="row scan-row">
        <SelectField label="Verdict" value={verdict} options={VERDICTS} onValue={setVerdict} />
        {verdict !== 'scrap' && <TextField label="Place" value={place} onValue={setPlace} />}
        <button type="submit" className="button strong" aria-disabled={!ready || booking.busy}>
          Inspected
        </button>
      </div>
      {why && <p className="small why-not">{why}</p>}
      <BookingNote {...booking} />
    </form>
  )
}
