import { useMemo, useState } from 'react'
import { bookWitness, weighedWitness } from '../../measure/drum-witness.ts'
import { rectangular } from '../../measure/uncertainty.ts'
import { umFromM } from '../../quantity/length.ts'
import type { Drum } from '../../strip/drum.ts'
import { markAtPlace, umPerMark } from '../../strip/usable.ts'
import { typedFigure } from '../../works/receipt-text.ts'
import { useMe } from '../access/me-state.tsx'
import { lengthM, many, supplyM } from '../format.ts'
import { useWorks } from '../works-state.tsx'
import { BookingNote } from './booking-note.tsx'
import { ScanField } from './scan-field.tsx'
import { SelectField } from './select-field.tsx'
import type { StockViewProps } from './stock-view.tsx'
import { TextField } from './text-field.tsx'
import { useBook } from './use-book.ts'

type How = 'length' | 'mark' | 'weight'

const HOWS = [
  ['length', 'length, m'],
  ['mark', 'mark at the outer end'],
  ['weight', 'gross weight, kg'],
] as const

/** A mark at an end is read to half a unit, and the factor of the print is off by up to 0.3 % (as measure/drum-witness.ts). */
const READ_HALF_MARKS = 0.5
const PRINT_HALF_RATIO = 0.003

/** Drum after drum is scanned and its length said, weighed or read; what was not found is listed. */
export function CountView({ input, stock, onBooked }: StockViewProps) {
  const { usable } = useWorks()
  const [id, setId] = useState('')
  const [how, setHow] = useState<How>('length')
  const [text, setText] = useState('')
  const [since, setSince] = useState(() => new Date().toISOString().slice(0, 10))
  const { whyNot } = useMe()
  const why = whyNot('count-drum')
  const booking = useBook(onBooked)
  const drum = stock.drums.find((d) => d.drum === id)
  const found = drum ? foundLength(drum, how, text) : null
  // newest first, so that the last count of a drum stands
  const counted = useMemo(
    () =>
      new Map(
        stock.counted
          .filter((c) => c.at >= since)
          .reverse()
          .map((c) => [c.drum, c]),
      ),
    [stock.counted, since],
  )
  const missing = stock.drums.filter((d) => !counted.has(d.drum))
  const apart = [...counted].filter(([, c]) => Math.abs(c.foundUm - c.bookUm) > 0.01 * c.bookUm)

  function foundLength(of: Drum, by: How, typed: string): { foundUm: number; foundUncUm: number } | null {
    const figure = typedFigure(typed)
    if (figure === null) return null
    if (by === 'length') {
      const foundUm = umFromM(figure)
      return { foundUm, foundUncUm: bookWitness({ ...of, bookUm: foundUm }).standardUm }
    }
    if (by === 'weight') {
      const cable = input.cables.find((c) => c.cable === of.cable)
      const witness = cable && weighedWitness({ ...of, grossKg: figure }, cable)
      return witness ? { foundUm: witness.lengthUm, foundUncUm: witness.standardUm } : null
    }
    const strip = usable.find((u) => u.drum.drum === of.drum)
    const inner = strip && markAtPlace(strip, strip.lengthUm)
    if (!strip || !inner || strip.segments.length !== 1) return null
    const perMark = umPerMark(inner.segment)
    const foundUm = Math.round(Math.abs(figure - inner.mark) * perMark)
    const readUm = Math.SQRT2 * rectangular(READ_HALF_MARKS * perMark)
    return { foundUm, foundUncUm: Math.ceil(Math.hypot(readUm, rectangular(PRINT_HALF_RATIO * foundUm))) }
  }

  async function count(of: Drum, values: { foundUm: number; foundUncUm: number }) {
    const words = values.foundUm === 0 ? 'not there' : supplyM(values.foundUm)
    if (
      !(await booking.book(
        [{ kind: 'count-drum', drum: of.drum, ...values }],
        `${of.drum}: ${words}, counted.`,
      ))
    )
      return
    // the next drum may have been scanned meanwhile
    setId((now) => (now === of.drum ? '' : now))
    setText('')
  }

  return (
    <>
      <p className="sentence">
        <strong>
          {counted.size === 0
            ? 'Nothing is counted yet.'
            : `${many(counted.size, 'drum')} counted, ${apart.length === 0 ? 'none' : apart.length} more than 1 % from the book.`}
        </strong>{' '}
        {missing.length === 0
          ? 'Every drum in the books was found.'
          : `${many(missing.length, 'drum')} of the books ${missing.length === 1 ? 'is' : 'are'} not found yet.`}
      </p>
      <BookingNote {...booking} />
      <ScanField label="Scan or type the drum" word="This drum" onCode={setId} />
      {id !== '' && !drum && (
        <p className="banner bad wraps" role="alert">
          <strong>{id} is not in the books.</strong> Book it in under Goods in, or look at its number again.
        </p>
      )}
      {drum && (
        <form
          className="inputs"
          aria-label={`Count of ${drum.drum}`}
          onSubmit={(event) => {
            event.preventDefault()
            if (found && !why) void count(drum, found)
          }}
        >
          <p className="wraps">
            <strong>{drum.drum}</strong>, {drum.cable}, lot {drum.lot}; by the book {supplyM(drum.bookUm)} at{' '}
            {drum.location ?? 'no place'}.
          </p>
          <SelectField label="Found by" value={how} options={HOWS} onValue={setHow} />
          <TextField
            label={HOWS.find(([h]) => h === how)?.[1] ?? ''}
            value={text}
            decimal
            hint={
              found
                ? `that is ${supplyM(found.foundUm)} ± ${lengthM(Math.ceil(2 * found.foundUncUm))}`
                : 'a figure'
            }
            onValue={setText}
          />
          <button
            type="submit"
            className="button strong"
            aria-disabled={!found || why !== null || booking.busy}
          >
            Counted
          </button>
          <button
            type="button"
            className="button"
            aria-disabled={why !== null || booking.busy}
            onClick={() =>
              !why && void count(drum, { foundUm: drum.bookUm, foundUncUm: bookWitness(drum).standardUm })
            }
          >
            As booked, {supplyM(drum.bookUm)}
          </button>
        </form>
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
      {missing.length > 0 && (
        <section className="stack" aria-labelledby="missing-head">
          <h2 id="missing-head">Not found yet</h2>
          <ul className="plain-list columns-list">
            {missing.map((d) => (
              <li key={d.drum} className="wraps">
                <strong>{d.drum}</strong> {d.cable}, {supplyM(d.bookUm)}, {d.location ?? 'no place'}{' '}
                <button
                  type="button"
                  className="link-button"
                  aria-label={`${d.drum} is not there`}
                  aria-disabled={why !== null || booking.busy}
                  onClick={() => !why && void count(d, { foundUm: 0, foundUncUm: 0 })}
                >
                  not there
                </button>
              </li>
            ))}
          </ul>
        </section>
      )}
    </>
  )
}
