import { useState } from 'react'
import type { ShelfMatch } from '../../ledger/shelf-match.ts'
import type { StockAnswer } from '../../works/stock-api.ts'
import { useMe } from '../access/me-state.tsx'
import { day, eurOfMicro, lengthM, many } from '../format.ts'
import { BookingNote } from './booking-note.tsx'
import { useBook } from './use-book.ts'

/** Which pieces of the shelf serve which open order lines; confirmed, they are allotted and need not be cut. */
export function ShelfFirst({ stock, onBooked }: { stock: StockAnswer; onBooked: () => Promise<void> }) {
  const { matches, leftOut, exact } = stock.matches
  const [without, setWithout] = useState<ReadonlySet<string>>(new Set())
  const { whyNot } = useMe()
  const why = whyNot('allot-piece')
  const booking = useBook(onBooked)
  const chosen = matches.filter((m) => !without.has(m.serial))
  if (matches.length === 0) return booking.done ? <BookingNote {...booking} /> : null

  function toggle(serial: string) {
    const next = new Set(without)
    if (!next.delete(serial)) next.add(serial)
    setWithout(next)
  }
  const words = `${many(chosen.length, 'piece')} allotted.`
  const allot = () =>
    booking.book(
      chosen.map(({ serial, order, orderLine }) => ({ kind: 'allot-piece', serial, order, orderLine })),
      words,
    )
  return (
    <section className="stack shelf-first" aria-labelledby="shelf-first-head">
      <h2 id="shelf-first-head">From the shelf: {many(matches.length, 'piece')} need not be cut</h2>
      <ul className="plain-list">
        {matches.map((match) => (
          <li key={match.serial}>
            <label className="row choice">
              <input
                type="checkbox"
                checked={!without.has(match.serial)}
                onChange={() => toggle(match.serial)}
              />
              <MatchText match={match} stock={stock} />
            </label>
          </li>
        ))}
      </ul>
      <p className="small quiet wraps">
        Chosen so that what is at stake is greatest: share of the price by due date, and material.{' '}
        {exact ? 'No other choice is worth more.' : 'Lots of groups were chosen one after another.'}
        {leftOut > 0 && ` ${many(leftOut, 'piece or line', 'pieces and lines')} were too many to look at.`}{' '}
        Print their labels anew, in the words of each market.
      </p>
      <div className="row">
        <button
          type="button"
          className="button strong"
          aria-disabled={why !== null || booking.busy || chosen.length === 0}
          onClick={() => why === null && chosen.length > 0 && void allot()}
        >
          Allot {many(chosen.length, 'piece')}
        </button>
      </div>
      {why && <p className="small why-not">{why}</p>}
      <BookingNote {...booking} />
    </section>
  )
}

function MatchText({ match, stock }: { match: ShelfMatch; stock: StockAnswer }) {
  const { serial, order, orderLine, worthMicro } = match
  const piece = stock.shelf.find((p) => p.serial === serial)
  const line = stock.orders.find((o) => o.order === order && o.line === orderLine)
  if (!piece || !line) return null
  return (
    <span className="wraps">
      <strong>
        {order}/{orderLine}
      </strong>{' '}
      gets <strong>{serial}</strong>: {lengthM(piece.declaredUm)} of {piece.cable} on {piece.putup}, at{' '}
      {piece.place ?? 'no place'}
      <br />
      <span className="small quiet">
        {line.customer} wants {line.lengthTyped} {line.unit}, due {day(line.dueDate)}; worth{' '}
        {eurOfMicro(worthMicro)}
      </span>
    </span>
  )
}
