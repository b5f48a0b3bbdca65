import type { Rescued, UnusedLead } from '../../lead/set-left-over.ts'
import { differenceText } from '../../lead/set-why.ts'
import type { LeadSets, MatchedSet } from '../../lead/sets.ts'
import { figureText } from '../../quantity/length-text.ts'
import { eur, many } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { SetCertificateButton } from './set-certificate-button.tsx'
import type { AskedSets } from './sets-question.ts'

/** The sets, what a trim would add, and why not the rest. */
export function SetsAnswer({ sets: answer, asked }: { sets: LeadSets; asked: AskedSets }) {
  const { sets, provenBest, provenMost, rescued, rescuedSets, unused } = answer
  const rows = sets.map((set, i) => ({ ...set, number: i + 1 }))
  return (
    <>
      <p className="sentence" role="status">
        <strong>{sets.length === 0 ? 'None' : many(sets.length, 'set')}</strong>:{' '}
        {provenBest ? 'proven, no choice of these leads makes more.' : `at most ${provenMost} are possible.`}
        {rescuedSets.length > 0 && ` Trims would add ${many(rescuedSets.length, 'set')}.`}
      </p>
      {rows.length > 0 && (
        <section className="stack close" aria-labelledby="sets-head">
          <h2 id="sets-head">Sets</h2>
          <DataTable
            caption="Matched sets"
            columns={setColumns(asked)}
            rows={rows}
            keyOf={(set) => `${set.number}`}
            lines={3}
          />
        </section>
      )}
      {rescued.length > 0 && (
        <section className="stack close" aria-labelledby="rescued-head">
          <h2 id="rescued-head">What a trim would rescue</h2>
          <DataTable caption="Rescued by a trim" columns={RESCUED} rows={rescued} keyOf={(r) => r.serial} />
          {rescuedSets.map((set) => (
            <p key={set.join(' ')} className="wraps">
              Then a further set: {set.join(', ')}.
            </p>
          ))}
        </section>
      )}
      {unused.length > 0 && (
        <section className="stack close" aria-labelledby="unused-head">
          <h2 id="unused-head">{many(unused.length, 'lead')} in no set, and why</h2>
          <DataTable
            caption="Leads in no set"
            columns={UNUSED}
            rows={unused}
            keyOf={(u) => u.serial}
            lines={4}
          />
        </section>
      )}
      <ul className="figure-list small">
        {answer.notes.map((note) => (
          <li key={note}>{note}</li>
        ))}
      </ul>
    </>
  )
}

type NumberedSet = MatchedSet & { number: number }

function setColumns(asked: AskedSets): Column<NumberedSet>[] {
  return [
    { key: 'number', head: 'Set', track: '56px', cell: (s) => <strong>{s.number}</strong> },
    {
      key: 'serials',
      head: 'Leads',
      track: 'minmax(200px, 3fr)',
      wide: true,
      cell: (s) => s.serials.join(', '),
    },
    {
      ...{ key: 'spread', head: 'Apart', track: '96px', number: true },
      cell: (s) => differenceText(asked.by, s.spread),
    },
    {
      ...{ key: 'loss', head: 'Loss apart', track: '96px', number: true },
      cell: (s) => `${figureText(s.lossSpreadDb, 3)} dB`,
    },
    { key: 'lot', head: 'Lot', track: 'minmax(110px, 1fr)', cell: (s) => s.lot },
    {
      ...{ key: 'temp', head: 'Measured at', track: '110px', number: true },
      cell: (s) => `${figureText(s.tempFromC, 1)} to ${figureText(s.tempToC, 1)} °C`,
    },
    {
      ...{ key: 'paper', head: 'Paper', track: 'minmax(140px, 1fr)' },
      cell: (s) => <SetCertificateButton serials={s.serials} number={s.number} asked={asked} />,
    },
  ]
}

const RESCUED: Column<Rescued>[] = [
  { key: 'serial', head: 'Lead', track: 'minmax(110px, 1fr)', cell: (r) => <strong>{r.serial}</strong> },
  {
    ...{ key: 'trim', head: 'Take off', track: '110px', number: true },
    cell: (r) => `${r.trimMm.toFixed(2)} mm`,
  },
  { key: 'how', head: 'How', track: 'minmax(110px, 1fr)', cell: (r) => r.how },
  { key: 'use', head: 'For', track: '88px', cell: (r) => r.use },
  {
    ...{ key: 'chance', head: 'Likely to succeed', track: '120px', number: true },
    cell: (r) => `${r.chancePct.toFixed(0)} %`,
  },
  {
    ...{ key: 'cost', head: 'Costs', track: 'minmax(140px, 1fr)', number: true },
    cell: (r) =>
      r.costEur === null
        ? r.how === 'open end'
          ? 'nothing more'
          : 'no place can fit it'
        : `${eur(r.costEur)}, ${figureText(r.minutes ?? 0, 1)} min`,
  },
]

const UNUSED: Column<UnusedLead>[] = [
  { key: 'serial', head: 'Lead', track: 'minmax(110px, 1fr)', cell: (u) => <strong>{u.serial}</strong> },
  { key: 'why', head: 'Why', track: 'minmax(240px, 4fr)', wide: true, cell: (u) => u.why },
]
