import { useState } from 'react'
import type { PieceRow } from '../../ledger/state-rows.ts'
import { isId } from '../../works/column.ts'
import type { StockAnswer } from '../../works/stock-api.ts'
import { useMe } from '../access/me-state.tsx'
import { many } from '../format.ts'
import { TextField } from '../parts/text-field.tsx'
import { BookingNote } from './booking-note.tsx'
import { ScanField } from './scan-field.tsx'
import type { StockViewProps } from './stock-view.tsx'
import { useBook } from './use-book.ts'

/** Pieces of one shipment. */
const MOST_PIECES = 5000

/** Why a piece cannot be put on a shipment, as far as this screen knows; the ledger has the last word. */
function whyNotShipped(piece: PieceRow | undefined, serial: string): string | null {
  if (!piece) return `${serial} is not in the hall or on the shelf.`
  if (piece.where === 'returned') return `${serial} came back and waits for inspection.`
  if (piece.order === null) return `${serial} is for no order; allot it under Finished shelf first.`
  if (piece.passed === false) return `${serial} failed its last test.`
  return null
}

const pieceIn = (stock: StockAnswer, serial: string) => stock.pieces.find((p) => p.serial === serial)

/** The shipment that is being scanned, and what was said of the last scan. */
function useShipment(stock: StockAnswer, busy: boolean) {
  const [shipment, setShipment] = useState('')
  const [serials, setSerials] = useState<string[]>([])
  const [said, setSaid] = useState<string | null>(null)

  function scanned(serial: string) {
    if (busy) return setSaid(`Still booking: scan ${serial} again in a moment.`)
    if (shipment === '') {
      if (isId(serial)) setShipment(serial)
      return setSaid(
        isId(serial) ? `Shipment ${serial}: now scan its pieces.` : `${serial} is no shipment number.`,
      )
    }
    const piece = pieceIn(stock, serial)
    const wrong = serials.includes(serial)
      ? `${serial} is on it already.`
      : serials.length >= MOST_PIECES
        ? `${MOST_PIECES} pieces are the most.`
        : whyNotShipped(piece, serial)
    setSaid(wrong ?? `${serial} is on it: ${piece?.declaredText} for ${piece?.order}/${piece?.orderLine}.`)
    if (wrong === null) setSerials([...serials, serial])
  }

  function forget() {
    setSerials([])
    setShipment('')
    setSaid(null)
  }

  return { shipment, setShipment, serials, setSerials, said, scanned, forget }
}

/** Serial after serial is scanned onto one shipment, which then leaves as a whole. */
export function ShipForm({ stock, onBooked }: StockViewProps) {
  const { whyNot } = useMe()
  const why = whyNot('ship-pieces')
  const booking = useBook(onBooked)
  const { shipment, setShipment, serials, setSerials, said, scanned, forget } = useShipment(
    stock,
    booking.busy,
  )
  return (
    <section className="stack" aria-labelledby="ship-head">
      <h2 id="ship-head">Ship</h2>
      <div className="one-field">
        <TextField
          label="Shipment"
          value={shipment}
          onValue={(v) => setShipment(v.trim())}
          hint="number of the delivery note: scan or type it"
        />
      </div>
      <ScanField
        label={shipment === '' ? 'Scan the shipment' : 'Scan or type a serial'}
        word={shipment === '' ? 'This shipment' : 'On it'}
        onCode={scanned}
      />
      <p role="status" className="wraps">
        {said}
      </p>
      {serials.length > 0 && (
        <ShippedPieces stock={stock} shipment={shipment} serials={serials} onSerials={setSerials} />
      )}
      <div className="row">
        <button
          type="button"
          className="main-action"
          aria-disabled={serials.length === 0 || !isId(shipment) || why !== null || booking.busy}
          onClick={() => {
            if (serials.length === 0 || !isId(shipment) || why !== null) return
            void booking
              .book(
                [{ kind: 'ship-pieces', shipment, serials }],
                `${shipment}: ${many(serials.length, 'piece')} left.`,
              )
              .then((ok) => ok && forget())
          }}
        >
          Ship {many(serials.length, 'piece')}
        </button>
      </div>
      {why && <p className="small why-not">{why}</p>}
      <BookingNote {...booking} />
    </section>
  )
}

interface ShippedPiecesProps {
  stock: StockAnswer
  shipment: string
  serials: readonly string[]
  onSerials: (serials: string[]) => void
}

function ShippedPieces({ stock, shipment, serials, onSerials }: ShippedPiecesProps) {
  const pieceOf = (serial: string) => pieceIn(stock, serial)
  const lines = [...new Set(serials.map((s) => pieceOf(s)?.order ?? ''))].filter(Boolean)
  return (
    <>
      <p>
        <strong>
          {many(serials.length, 'piece')} on {shipment}
        </strong>
        , for {many(lines.length, 'order')}: {lines.join(', ')}
      </p>
      <ul className="plain-list">
        {serials.map((serial) => (
          <li key={serial} className="wraps">
            {serial}, {pieceOf(serial)?.declaredText}, {pieceOf(serial)?.order}/{pieceOf(serial)?.orderLine}{' '}
            <button
              type="button"
              className="link-button"
              aria-label={`Take ${serial} off`}
              onClick={() => onSerials(serials.filter((s) => s !== serial))}
            >
              take off
            </button>
          </li>
        ))}
      </ul>
    </>
  )
}
