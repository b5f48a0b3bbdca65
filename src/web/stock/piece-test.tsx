import { useState } from 'react'
import type { TestFigure } from '../../ledger/state-rows.ts'
import { isId } from '../../works/column.ts'
import { typedFigure } from '../../works/receipt-text.ts'
import { useMe } from '../access/me-state.tsx'
import { SelectField } from '../parts/select-field.tsx'
import { TextField } from '../parts/text-field.tsx'
import { BookingNote } from './booking-note.tsx'
import { ScanField } from './scan-field.tsx'
import type { StockViewProps } from './stock-view.tsx'
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

/** What was typed of a test; it stays for the next piece. */
function useTypedTest() {
  const [continuity, setContinuity] = useState<PassFail>('pass')
  const [kv, setKv] = useState('')
  const [held, setHeld] = useState<PassFail>('pass')
  const [megohm, setMegohm] = useState('')
  const [instrument, setInstrument] = useState('')
  const [kvDc, insulation] = [typedFigure(kv), typedFigure(megohm)]
  const complete =
    kvDc !== null && (megohm === '' || insulation !== null) && (instrument === '' || isId(instrument))

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

  return {
    ...{ continuity, setContinuity, kv, setKv, held, setHeld, megohm, setMegohm, instrument, setInstrument },
    ...{ kvDc, complete, figures },
  }
}

/** Final test of one finished piece: continuity, high voltage on the core, insulation. */
export function PieceTest({ input, stock, onBooked }: StockViewProps) {
  const [serial, setSerial] = useState('')
  const typed = useTypedTest()
  const { whyNot } = useMe()
  const why = whyNot('test-piece')
  const booking = useBook(onBooked)
  const piece = stock.pieces.find((p) => p.serial === serial)
  const cable = input.cables.find((c) => c.cable === piece?.cable)

  function bookTest(figures: TestFigure[], passed: boolean) {
    const body = { kind: 'test-piece', serial, figures, passed } as const
    void booking
      .book([body], `${serial}: ${passed ? 'passed' : 'failed'}, booked.`)
      .then((ok) => ok && setSerial((now) => (now === serial ? '' : now)))
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
        <PieceForm
          serial={serial}
          leastKvDc={cable.hipotCoreKvDc}
          typed={typed}
          why={why}
          busy={booking.busy}
          onBook={bookTest}
        />
      )}
      {why && <p className="small why-not">{why}</p>}
      <BookingNote {...booking} />
    </section>
  )
}

interface PieceFormProps {
  serial: string
  /** Least voltage on the core. */
  leastKvDc: number
  typed: ReturnType<typeof useTypedTest>
  /** Why nothing may be booked, or null. */
  why: string | null
  busy: boolean
  onBook: (figures: TestFigure[], passed: boolean) => void
}

function PieceForm(props: PieceFormProps) {
  const { serial, leastKvDc, typed, why, busy } = props
  const enough = typed.kvDc !== null && typed.kvDc >= leastKvDc
  const passed = typed.continuity === 'pass' && typed.held === 'pass' && enough
  return (
    <form
      className="inputs"
      aria-label={`Final test of ${serial}`}
      onSubmit={(event) => {
        event.preventDefault()
        if (!typed.complete || why) return
        props.onBook(typed.figures(leastKvDc), passed)
      }}
    >
      <SelectField
        label="Continuity of both conductors"
        value={typed.continuity}
        options={PASS}
        onValue={typed.setContinuity}
      />
      <TextField
        label="Core high voltage, kV DC"
        value={typed.kv}
        decimal
        wrong={typed.kvDc !== null && !enough ? `less than ${leastKvDc}` : null}
        onValue={typed.setKv}
      />
      <SelectField label="It held" value={typed.held} options={PASS} onValue={typed.setHeld} />
      <TextField
        label="Insulation, Mohm"
        value={typed.megohm}
        decimal
        hint="no limit recorded"
        onValue={typed.setMegohm}
      />
      <TextField label="Tester" value={typed.instrument} onValue={(v) => typed.setInstrument(v.trim())} />
      <button type="submit" className="button strong" aria-disabled={!typed.complete || why !== null || busy}>
        Book as {passed ? 'passed' : 'failed'}
      </button>
    </form>
  )
}
