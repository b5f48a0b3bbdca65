import { useMemo, useState } from 'react'
import type { Drum } from '../../strip/drum.ts'
import type { StockAnswer } from '../../works/stock-api.ts'
import { useMe } from '../access/me-state.tsx'
import { many, supplyM } from '../format.ts'
import { TextField } from '../parts/text-field.tsx'
import { worksDate } from '../works-clock.ts'
import { useWorks } from '../works-state.tsx'
import { BookingNote } from './booking-note.tsx'
import { CountForm } from './count-form.tsx'
import { type FoundBy, type FoundLength, foundLength } from './found-length.ts'
import { MissingDrums } from './missing-drums.tsx'
import { ScanField } from './scan-field.tsx'
import type { StockViewProps } from './stock-view.tsx'
import { useBook } from './use-book.ts'

const NOTHING = { id: '', text: '' }

/** Drum after drum is scanned and its length said, weighed or read; what was not found is listed. */
export function CountView({ input, stock, onBooked }: StockViewProps) {
  const { usable } = useWorks()
  const [{ id, text }, setEntry] = useState(NOTHING)
  const [how, setHow] = useState<FoundBy>('length')
  const { since, setSince, ...round } = useRound(stock)
  const { whyNot } = useMe()
  const why = whyNot('count-drum')
  const booking = useBook(onBooked)
  const drum = stock.drums.find((d) => d.drum === id)
  const press = { blocked: why !== null, busy: booking.busy }

  async function count(of: Drum, values: FoundLength) {
    const words = values.foundUm === 0 ? 'not there' : supplyM(values.foundUm)
    if (
      !(await booking.book(
        [{ kind: 'count-drum', drum: of.drum, ...values }],
        `${of.drum}: ${words}, counted.`,
      ))
    )
      return
    // the next drum may have been scanned meanwhile, and its length typed
    setEntry((now) => (now.id === of.drum ? NOTHING : now))
  }

  return (
    <>
      <RoundSentence {...round} />
      <BookingNote {...booking} />
      <ScanField
        label="Scan or type the drum"
        word="This drum"
        onCode={(scanned) => setEntry({ id: scanned, text: '' })}
      />
      {id !== '' && !drum && <UnknownDrum id={id} />}
      {drum && (
        <CountForm
          {...{ drum, how, text, ...press }}
          found={foundLength(drum, how, text, { cables: input.cables, usable })}
          onHow={setHow}
          onText={(typed) => setEntry((now) => ({ ...now, text: typed }))}
          onCount={(found) => void count(drum, found)}
        />
      )}
      {why && <p className="small why-not">{why}</p>}
      <div className="row">
        <TextField
          label="Round began on"
          value={since}
          hint="YYYY-MM-DD; what was counted since then counts"
          onValue={setSince}
        />
      </div>
      <MissingDrums
        missing={round.missing}
        {...press}
        onNotThere={(d) => void count(d, { foundUm: 0, foundUncUm: 0 })}
      />
    </>
  )
}

/** A round of counting since a day: what it found, and what it has not found yet. */
function useRound(stock: StockAnswer) {
  const [since, setSince] = useState(() => worksDate(new Date().toISOString()))
  // newest first, so that the last count of a drum stands
  const counted = useMemo(
    () =>
      new Map(
        stock.counted
          .filter((c) => worksDate(c.at) >= since)
          .reverse()
          .map((c) => [c.drum, c]),
      ),
    [stock.counted, since],
  )
  const missing = stock.drums.filter((d) => !counted.has(d.drum))
  const apart = [...counted].filter(([, c]) => Math.abs(c.foundUm - c.bookUm) > 0.01 * c.bookUm)
  return { since, setSince, counted: counted.size, apart: apart.length, missing }
}

function RoundSentence({ counted, apart, missing }: { counted: number; apart: number; missing: Drum[] }) {
  return (
    <p className="sentence">
      <strong>
        {counted === 0
          ? 'Nothing is counted yet.'
          : `${many(counted, 'drum')} counted, ${apart === 0 ? 'none' : apart} more than 1 % from the book.`}
      </strong>{' '}
      {missing.length === 0
        ? 'Every drum in the books was found.'
        : `${many(missing.length, 'drum')} of the books ${missing.length === 1 ? 'is' : 'are'} not found yet.`}
    </p>
  )
}

function UnknownDrum({ id }: { id: string }) {
  return (
    <p className="banner bad wraps" role="alert">
      <strong>{id} is not in the books.</strong> Book it in under Goods in, or look at its number again.
    </p>
  )
}
