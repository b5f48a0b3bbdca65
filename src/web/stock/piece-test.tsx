import { useState } from 'react'
import type { TestFigure } from '../../ledger/state-rows.ts'
import { isId } from '../../works/column.ts'
import { typedFigure } from '../../works/receipt-text.ts'
import { useMe } from '../access/me-state.tsx'
import { BookingNote } from './booking-note.tsx'
import { ScanField } from './scan-field.tsx'
import { SelectField } from './select-field.tsx'
import type { StockViewProps } from './stock-view.tsx'
import { TextField } from './text-field.tsx'
import { useBook } from './use-book.ts'

/** In the usual words; EN 50191:2010 for the high voltage. */
const DANGERS = [
  'High voltage: guarded and interlocked place; nobody touches coil, ends or clips while it is on.',
  'A coil keeps its charge: earth both conductors and wait before touching, the longer the coil the longer.',
]

const PASS = [
  ['pass', 'pass'],
  ['fail', 'fail'],
] as const

type PassFail = (typeof PASS)[number][0]

/** Final test of one finished piece: continuity, high voltage on the core, insulation. */
export function PieceTest({ input, stock, onBooked }: StockViewProps) {
  const [serial, setSerial] = useState('')
  const [continuity, setContinuity] = useState<PassFail>('pass')
  const [kv, setKv] = useState('')
  const [held, setHeld] = useState<PassFail>('pass')
  const [megohm, setMegohm] = useState('')
  const [instrument, setInstrument] = useState('')
  const { whyNot } = useMe()
  const why = whyNot('test-piece')
  const booking = useBook(onBooked)
  const piece = stock.pieces.find((p) => p.serial === serial)
  const cable = input.cables.find((c) => c.cable === piece?.cable)
  const [kvDc, insulation] = [typedFigure(kv), typedFigure(megohm)]
  const enough = cable && kvDc !== null && kvDc >= cable.hipotCoreKvDc
  const passed = continuity === 'pass' && held === 'pass' && enough === true
  const ready =
    piece &&
    cable &&
    kvDc !== null &&
    (megohm === '' || insulation !== null) &&
    (instrument === '' || isId(instrument))

  function figures(limitKv: number): TestFigure[] {
    const with_ = { fMhz: null, instrument: instrument || null }
    const bit = (ok: PassFail) => (ok === 'pass' ? 1 : 0)
    return [
      { quantity: 'continuity', value: bit(continuity), unit: '', limit: 1, ...with_ },
      { quantity: 'core high voltage', value: kvDc ?? 0, unit: 'kV DC', limit: limitKv, ...with_ },
      { quantity: 'core high voltage held', value: bit(held), unit: '', limit: 1, ...with_ },
      ...(insulation === null
        ? []
        : [{ quantity: 'insulation resistance', value: insulation, unit: 'Mohm', limit: null, ...with_ }]),
    ]
  }

  return (
    <section className="stack" aria-labelledby="piece-test-head">
      <h2 id="piece-test-head">Final test of a piece</h2>
      <ul className="dangers">
        {DANGERS.map((danger) => (
          <li key={danger}>
            <strong>Danger.</strong> {danger}
          </li>
        ))}
      </ul>
      <ScanField label="Scan or type the serial" word="This piece" onCode={setSerial} />
      <p role="status" className="wraps">
        {serial === '' && 'No piece chosen.'}
        {serial !== '' && !piece && <strong>{serial} is not in the hall or on the shelf.</strong>}
        {piece && cable && (
          <>
            <strong>{serial}</strong>: {piece.declaredText}, {piece.cable}, lot {piece.lot}. To be tested with
            at least <strong>{cable.hipotCoreKvDc} kV DC</strong> between the conductors (hipot_core_kv_dc of
            cables.csv).
          </>
        )}
      </p>
      {piece && cable && (
        <form
          className="inputs"
          aria-label={`Final test of ${serial}`}
          onSubmit={(event) => {
            event.preventDefault()
            if (!ready || why) return
            const body = {
              kind: 'test-piece',
              serial,
              figures: figures(cable.hipotCoreKvDc),
              passed,
            } as const
            void booking
              .book([body], `${serial}: ${passed ? 'passed' : 'failed'}, booked.`)
              .then((ok) => ok && setSerial((now) => (now === serial ? '' : now)))
          }}
        >
          <SelectField
            label="Continuity of both conductors"
            value={continuity}
            options={PASS}
            onValue={setContinuity}
          />
          <TextField
            label="Core high voltage, kV DC"
            value={kv}
            decimal
            wrong={kvDc !== null && !enough ? `less than ${cable.hipotCoreKvDc}` : null}
            onValue={setKv}
          />
          <SelectField label="It held" value={held} options={PASS} onValue={setHeld} />
          <TextField
            label="Insulation, Mohm"
            value={megohm}
            decimal
            hint="no limit recorded"
            onValue={setMegohm}
          />
          <TextField label="Tester" value={instrument} onValue={(v) => setInstrument(v.trim())} />
          <button
            type="submit"
            className="button strong"
            aria-disabled={!ready || why !== null || booking.busy}
          >
            Book as {passed ? 'passed' : 'failed'}
          </button>
        </form>
      )}
      {why && <p className="small why-not">{why}</p>}
      <BookingNote {...booking} />
    </section>
  )
}
