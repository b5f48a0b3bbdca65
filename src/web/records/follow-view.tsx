import type { FollowAnswer } from '../../works/records-api.ts'
import { Refusal } from '../parts/refusal.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { ScanField } from '../stock/scan-field.tsx'
import { useAnswer } from '../use-answer.ts'
import { LotAnswer } from './lot-answer.tsx'
import { PieceAnswer } from './piece-answer.tsx'
import { goToRecord } from './records-view.tsx'
import { StripAnswer } from './strip-answer.tsx'

/** Scan or type a serial, a drum, a lot or a fault: everything that is known of it. */
export function FollowView({ id }: { id: string | null }) {
  const path = id === null ? null : `/api/records/follow?id=${encodeURIComponent(id)}`
  const { answer, error } = useAnswer<FollowAnswer>(path)
  return (
    <>
      <ScanField
        label="Serial, drum, lot or fault"
        word="Follow"
        onCode={(code) => goToRecord('follow', code)}
      />
      {id === null && (
        <p className="sentence">
          <strong>Scan a label.</strong> Or type what stands on it: a serial such as 31-000123-7, a drum, a
          lot, or the number of a fault.
        </p>
      )}
      {error && <Refusal error={error} />}
      {id !== null && !answer && !error && <Skeleton />}
      {answer?.kind === 'unknown' && (
        <p className="sentence wraps">
          <strong>{answer.id} is not in the ledger.</strong> No piece, drum, lot or fault has this name. What
          was made before the ledger began is in the works folder only.
        </p>
      )}
      {answer?.kind === 'piece' && <PieceAnswer trace={answer.trace} short={answer.short} />}
      {answer?.kind === 'strip' && <StripAnswer answer={answer} />}
      {answer?.kind === 'lot' && <LotAnswer answer={answer} />}
    </>
  )
}
