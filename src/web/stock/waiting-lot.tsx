import type { LotVerdict } from '../../ledger/lot-test.ts'
import { many } from '../format.ts'
import { JudgedTable } from './judged-table.tsx'

/** A lot with figures that are judged and not yet booked. */
export interface WaitingLot {
  lot: string
  cable: string
  verdict: LotVerdict
  /** Free drums of the lot. */
  toHold: string[]
}

interface WaitingLotProps {
  lot: WaitingLot
  /** Why nothing may be booked, or null. */
  why: string | null
  busy: boolean
  onBook: (hold: boolean) => void
}

/** Its figures against their limits, and whether its free drums are held with the booking. */
export function WaitingLotPart(props: WaitingLotProps) {
  const { why, busy } = props
  const { lot, cable, verdict, toHold } = props.lot
  return (
    <section className="stack lot-waiting" aria-labelledby={`lot-${lot}`}>
      <h2 id={`lot-${lot}`} className="wraps">
        Lot {lot}, {cable}:{' '}
        <span className={`state-word ${verdict.passed ? 'moss' : 'plum'}`}>
          {verdict.passed ? '✓ passes' : '✗ fails'}
        </span>
      </h2>
      <JudgedTable verdict={verdict} />
      {!verdict.passed && toHold.length > 0 && (
        <p className="wraps">
          Free drums of this lot: <strong>{toHold.join(', ')}</strong>. Shall they be held?
        </p>
      )}
      <div className="row">
        {!verdict.passed && toHold.length > 0 && (
          <button
            type="button"
            className="main-action"
            aria-disabled={why !== null || busy}
            onClick={() => !why && props.onBook(true)}
          >
            Book it and hold {many(toHold.length, 'drum')}
          </button>
        )}
        <button
          type="button"
          className={verdict.passed ? 'main-action' : 'button'}
          aria-disabled={why !== null || busy}
          onClick={() => !why && props.onBook(false)}
        >
          Book lot {lot}
          {verdict.passed || toHold.length === 0 ? '' : ' and hold nothing'}
        </button>
      </div>
    </section>
  )
}
