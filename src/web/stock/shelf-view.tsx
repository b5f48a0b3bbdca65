import { useState } from 'react'
import type { ShelfPiece } from '../../ledger/shelf-piece.ts'
import type { StockAnswer } from '../../works/stock-api.ts'
import { useMe } from '../access/me-state.tsx'
import { lengthM, many } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { TextField } from '../parts/text-field.tsx'
import { happenedOn, worksDate } from '../works-clock.ts'
import { BookingNote } from './booking-note.tsx'
import { LabelAnew } from './label-anew.tsx'
import { LevelTable } from './level-table.tsx'
import { ScanField } from './scan-field.tsx'
import { ShelfFirst } from './shelf-first.tsx'
import type { StockViewProps } from './stock-view.tsx'
import { useBook } from './use-book.ts'

const DAY_MS = 86_400_000

function ageText(since: string, today: string): string {
  const days = Math.max(0, Math.floor((Date.parse(today) - Date.parse(since)) / DAY_MS))
  return days < 60 ? many(days, 'day') : many(Math.floor(days / 30.44), 'month')
}

function shelfColumns(today: string, served: ReadonlyMap<string, string>): Column<ShelfPiece>[] {
  return [
    { key: 'serial', head: 'Serial', track: 'minmax(8rem, 1fr)', cell: (p) => p.serial },
    { key: 'cable', head: 'Cable', track: 'minmax(6rem, 1fr)', cell: (p) => p.cable },
    {
      key: 'length',
      head: 'Declared',
      track: 'minmax(5rem, 1fr)',
      number: true,
      cell: (p) => lengthM(p.declaredUm),
    },
    { key: 'putup', head: 'Put-up', track: 'minmax(5rem, 1fr)', cell: (p) => p.putup ?? '—' },
    { key: 'lot', head: 'Lot', track: 'minmax(8rem, 1fr)', cell: (p) => p.lot },
    {
      ...{ key: 'place', head: 'Place', track: 'minmax(5rem, 1fr)' },
      cell: (p) => (p.inHall ? 'in the hall, no place yet' : (p.place ?? 'no place')),
    },
    {
      key: 'age',
      head: 'Age',
      track: 'minmax(5rem, 1fr)',
      cell: (p) => `${ageText(worksDate(p.since), today)}, since ${happenedOn(p.since)}`,
    },
    {
      key: 'serves',
      head: 'Could serve',
      track: 'minmax(5rem, 1fr)',
      cell: (p) => served.get(p.serial) ?? 'none open',
    },
  ]
}

/** Finished and not sold: what it could serve, what lacks, and each piece with its place and age. */
export function ShelfView(props: StockViewProps) {
  const { input, stock } = props
  const today = input.site.works.todayDate
  const [serial, setSerial] = useState('')
  const [place, setPlace] = useState('')
  const chosen = stock.pieces.find((p) => p.serial === serial)
  const served = new Map(stock.matches.matches.map((m) => [m.serial, `${m.order}/${m.orderLine}`]))
  const booking = useBook(props.onBooked)
  async function placed(piece: string, at: string) {
    if (!(await booking.book([{ kind: 'shelve-piece', serial: piece, place: at }], `${piece} is at ${at}.`)))
      return
    // another piece may have been scanned meanwhile
    setSerial((now) => (now === piece ? '' : now))
  }
  // a piece is scanned, then its place; another piece in between is the piece meant
  function scanned(code: string) {
    if (chosen && !stock.pieces.some((p) => p.serial === code)) return setPlace(code)
    setSerial(code)
    setPlace('')
  }
  return (
    <>
      <ShelfSentence stock={stock} />
      <ShelfFirst stock={stock} onBooked={props.onBooked} />
      {stock.levels && stock.levels.length > 0 && <LevelTable levels={stock.levels} />}
      <section className="stack" aria-labelledby="shelf-head">
        <h2 id="shelf-head">Pieces</h2>
        {stock.shelf.length > 0 ? (
          <DataTable
            caption="Finished pieces of no customer, oldest first"
            columns={shelfColumns(today, served)}
            rows={stock.shelf}
            keyOf={(p) => p.serial}
          />
        ) : (
          <p>A standard coil or a return that is put on the shelf stands here.</p>
        )}
      </section>
      <section className="stack" aria-labelledby="shelve-head">
        <h2 id="shelve-head">Put a piece on the shelf</h2>
        <ScanField label="Scan or type the serial, then the place" word="Take it" onCode={scanned} />
        {serial !== '' && !chosen && (
          <p className="wrong" role="alert">
            {serial} is not in the hall or on the shelf by the ledger.
          </p>
        )}
        {chosen && (
          <ShelveForm
            key={serial}
            serial={serial}
            words={chosen.declaredText}
            place={place}
            busy={booking.busy}
            onPlace={setPlace}
            onPlaced={(at) => void placed(serial, at)}
          />
        )}
        <BookingNote {...booking} />
      </section>
    </>
  )
}

function ShelfSentence({ stock }: { stock: StockAnswer }) {
  const short = (stock.levels ?? []).filter((l) => l.have < l.level.least).length
  return (
    <p className="sentence">
      <strong>
        {stock.shelf.length === 0
          ? 'Nothing is finished and unsold.'
          : `${many(stock.shelf.length, 'piece')} finished and not sold`}
      </strong>
      {stock.shelf.length > 0 &&
        `; ${stock.matches.matches.length === 0 ? 'none fits an open order line' : `${many(stock.matches.matches.length, 'piece')} would serve open order lines`}`}
      {stock.levels === null
        ? '. No minimum levels are recorded.'
        : short === 0
          ? '; every minimum level is met.'
          : `; ${many(short, 'minimum level')} ${short === 1 ? 'is' : 'are'} not met.`}
    </p>
  )
}

function ShelveForm(props: {
  serial: string
  words: string
  place: string
  busy: boolean
  onPlace: (place: string) => void
  onPlaced: (place: string) => void
}) {
  const { serial, place, busy } = props
  const { whyNot } = useMe()
  const why = whyNot('shelve-piece')
  const ready = place.trim() !== '' && why === null && !busy
  return (
    <form
      className="stack"
      aria-label={`Place of ${serial}`}
      onSubmit={(event) => {
        event.preventDefault()
        if (ready) props.onPlaced(place.trim())
      }}
    >
      <p className="wraps">
        <strong>{serial}</strong>: {props.words}.
      </p>
      <div className="row">
        <TextField label="Place" value={place} onValue={props.onPlace} />
        <button type="submit" className="button strong" aria-disabled={!ready}>
          It stands there
        </button>
        <LabelAnew key={serial} serial={serial} />
      </div>
      {why && <p className="small why-not">{why}</p>}
    </form>
  )
}
