import type { StretchRow } from '../../ledger/state-rows.ts'
import { trueUm } from '../../ledger/strip-place.ts'
import type { FollowAnswer } from '../../works/records-api.ts'
import { lengthM, many } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { happenedOn } from '../works-clock.ts'
import { recordsHash } from './records-view.tsx'

const COLUMNS: Column<StretchRow>[] = [
  { key: 'from', head: 'From, m', track: '8rem', number: true, cell: (s) => metres(s.fromUm) },
  { key: 'to', head: 'To, m', track: '8rem', number: true, cell: (s) => metres(s.toUm) },
  { key: 'use', head: 'What it is', track: '8rem', cell: (s) => s.use },
  {
    key: 'ref',
    head: 'Which',
    track: 'minmax(0, 1fr)',
    wide: true,
    cell: (s) =>
      s.ref === null ? (
        <span className="wraps">{s.cause ?? '–'}</span>
      ) : s.use === 'piece' || s.use === 'scrap' ? (
        <a href={recordsHash('follow', s.ref)}>{s.ref}</a>
      ) : (
        s.ref
      ),
  },
  { key: 'length', head: 'True length', track: '9rem', number: true, cell: (s) => lengthM(trueUm(s)) },
]

const metres = (um: number) => (um / 1e6).toFixed(2)

/** One strip from end to end. */
export function StripAnswer({ answer }: { answer: Extract<FollowAnswer, { kind: 'strip' }> }) {
  const { strip, drums, stretches, lot } = answer
  const left = drums.filter((d) => d.toUm > d.fromUm)
  const leftUm = left.reduce((sum, d) => sum + trueUm(d), 0)
  const pieces = stretches.filter((s) => s.use === 'piece').length
  return (
    <section className="stack" aria-labelledby="strip-head">
      <p className="sentence wraps" id="strip-head">
        <strong>
          Strip {strip.strip}, {lengthM(leftUm)} left
        </strong>
        {left.length === 0 ? '' : ` on ${left.map((d) => `${d.drum} (${d.place ?? 'no place'})`).join(', ')}`}
        : {strip.cable}, lot {strip.lot}, {lengthM(strip.lengthUm)} booked in on{' '}
        {happenedOn(strip.receivedAt)}; {many(pieces, 'piece')} cut from it.{' '}
        {lot ? `Its lot ${lot.passed ? 'passed' : 'failed'} its tests.` : 'No test of its lot is recorded.'}
      </p>
      <p className="row">
        <a href={recordsHash('follow', strip.lot)}>Lot {strip.lot}</a>
        <a href={recordsHash('recall', 'strip', strip.strip)}>Recall all of it</a>
      </p>
      <DataTable
        caption={`Strip ${strip.strip}`}
        columns={COLUMNS}
        rows={stretches}
        keyOf={(s) => String(s.fromUm)}
      />
    </section>
  )
}
