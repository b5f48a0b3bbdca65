import { useMemo, useState } from 'react'
import type { CommandBody } from '../../ledger/command.ts'
import { judgeLot, type LotTest, testFigure } from '../../ledger/lot-test.ts'
import type { LotRow } from '../../ledger/state-rows.ts'
import { readLotTests } from '../../works/pasted-lot-tests.ts'
import { useMe } from '../access/me-state.tsx'
import { many } from '../format.ts'
import { ProblemTable } from '../parts/problem-table.tsx'
import { happenedOn } from '../works-clock.ts'
import { BookingNote } from './booking-note.tsx'
import { LotEntry } from './lot-entry.tsx'
import type { StockViewProps } from './stock-view.tsx'
import { useBook } from './use-book.ts'
import { type WaitingLot, WaitingLotPart } from './waiting-lot.tsx'

/** Is the lot good? Figures typed, pasted, or taken from the folder; judged before they are booked. */
export function LotTests({ input, stock, onBooked }: StockViewProps) {
  const [text, setText] = useState('')
  const [typed, setTyped] = useState<LotTest[]>([])
  const { whyNot } = useMe()
  const why = whyNot('test-lot')
  const booking = useBook(onBooked)
  const pasted = useMemo(
    () => (text.trim() === '' ? { tests: [], problems: [], beyond: 0 } : readLotTests(text, input)),
    [text, input],
  )
  const waiting = byLot(input, stock, [...(stock.lotTests ?? []), ...pasted.tests, ...typed])
  const failed = stock.lots.filter((l) => !l.passed)

  async function bookLot({ lot, cable, verdict, toHold }: WaitingLot, hold: boolean) {
    const figures = verdict.figures.map(testFigure)
    const bodies: CommandBody[] = [{ kind: 'test-lot', lot, cable, figures, passed: verdict.passed }]
    if (hold)
      for (const drum of toHold)
        bodies.push({ kind: 'hold-drum', drum, status: 'qc_hold', reason: `lot ${lot} failed its tests` })
    const held = hold && toHold.length > 0 ? ` ${many(toHold.length, 'drum')} held.` : ''
    if (await booking.book(bodies, `Lot ${lot}: ${verdict.passed ? 'passed' : 'failed'}, booked.${held}`))
      setTyped((before) => before.filter((t) => t.lot !== lot))
  }

  return (
    <section className="stack" aria-labelledby="lots-head">
      <p className="sentence" id="lots-head">
        <strong>
          {stock.lots.length === 0
            ? 'No lot is judged yet.'
            : `${many(stock.lots.length, 'lot')} judged, ${failed.length} failed.`}
        </strong>{' '}
        {waiting.length > 0
          ? `${many(waiting.length, 'lot has', 'lots have')} figures that are not booked.`
          : 'No figure waits.'}
      </p>
      <BookingNote {...booking} />
      {why && <p className="small why-not">{why}</p>}
      {waiting.map((lot) => (
        <WaitingLotPart
          key={lot.lot}
          lot={lot}
          why={why}
          busy={booking.busy}
          onBook={(hold) => void bookLot(lot, hold)}
        />
      ))}
      <h2>Enter the figures of a lot</h2>
      <LotEntry input={input} stock={stock} onTest={(test) => setTyped((before) => [...before, test])} />
      <details>
        <summary>Paste rows instead, with the headings of more/lot_tests.csv</summary>
        <div className="field">
          <label htmlFor="lot-rows">Rows of figures</label>
          <textarea
            id="lot-rows"
            rows={5}
            value={text}
            maxLength={200_000}
            spellCheck={false}
            onChange={(event) => setText(event.target.value)}
          />
        </div>
        {pasted.problems.length > 0 && <ProblemTable problems={pasted.problems} />}
      </details>
      {stock.lots.length > 0 && <JudgedLots lots={stock.lots} />}
    </section>
  )
}

function JudgedLots({ lots }: { lots: readonly LotRow[] }) {
  return (
    <ul className="plain-list">
      {lots.map((l) => (
        <li key={l.lot} className="wraps">
          <strong>{l.lot}</strong>, {l.cable}:{' '}
          <span className={`state-word ${l.passed ? 'moss' : 'plum'}`}>
            {l.passed ? '✓ passed' : '✗ failed'}
          </span>{' '}
          with {many(l.figures.length, 'figure')} on {happenedOn(l.at)}
        </li>
      ))}
    </ul>
  )
}

/** Lots with figures that the ledger does not hold, in the order in which they come. */
function byLot(
  input: StockViewProps['input'],
  stock: StockViewProps['stock'],
  tests: LotTest[],
): WaitingLot[] {
  const lots = new Map<string, LotTest[]>()
  for (const test of tests) lots.set(test.lot, [...(lots.get(test.lot) ?? []), test])
  return [...lots].flatMap(([lot, mine]) => {
    const cable = input.cables.find((c) => c.cable === mine[0]?.cable)
    if (!cable) return []
    const booked = stock.lots.find((l) => l.lot === lot)
    const isBooked = (t: LotTest) =>
      booked?.figures.some((f) => f.quantity === t.quantity && f.fMhz === t.fMhz && f.value === t.value)
    if (mine.every(isBooked)) return []
    const toHold = stock.drums.filter((d) => d.lot === lot && d.status === 'free').map((d) => d.drum)
    return [{ lot, cable: cable.cable, verdict: judgeLot(cable, stock.attenuation, mine), toHold }]
  })
}
