import { Refusal } from '../parts/refusal.tsx'
import type { Booking } from './use-book.ts'

/** What became of the last press, said aloud as well. */
export function BookingNote({ busy, error, done }: Booking) {
  return (
    <>
      <p role="status" className={busy || done ? 'wraps' : 'spoken'}>
        {busy ? 'Booking …' : done && <strong>✓ {done}</strong>}
      </p>
      {error && <Refusal error={error} />}
    </>
  )
}
