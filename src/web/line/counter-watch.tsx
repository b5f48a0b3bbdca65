import type { CounterReport } from '../../measure/counter-report.ts'
import type { SuspectCut } from '../../measure/look-back.ts'
import { mFromUm } from '../../quantity/length.ts'
import { figureText } from '../../quantity/length-text.ts'
import { day, many } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { percentText } from './counter-text.ts'

const NAMES = {
  shewhart: 'Single checks',
  ewma: 'Weighted mean',
  cusum: 'Sum of deviations',
  drift: 'Drift',
} as const

/** What must be acted on: signals, a failed check with the pieces cut since, the seal, checks set aside. */
export function CounterWatch({ report, claimedRatio }: { report: CounterReport; claimedRatio: number }) {
  const { known, setAside, seal, lookBack } = report
  const signals = known?.signals ?? []
  return (
    <>
      {signals.map((s) => (
        <p className="banner wraps" role="note" key={`${s.chart} ${s.since}`}>
          <strong>{NAMES[s.chart]}:</strong> {s.text}, since {day(s.since)}
          {s.began && `; it began about ${day(s.began)}`}.
        </p>
      ))}
      {lookBack.reason ? (
        <Suspects report={report} claimedRatio={claimedRatio} />
      ) : (
        <p>
          {lookBack.lastGood
            ? `✓ Last good check: ${day(lookBack.lastGood)}. Nothing cut since is suspect.`
            : 'No good check is on record.'}
        </p>
      )}
      {setAside.map(({ check, why }, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: two checks may be alike in all that is shown
        <p className="banner wraps" role="note" key={i}>
          <strong>Check of {day(check.date)} set aside:</strong> {why}.
        </p>
      ))}
      <p className={seal.overdue ? 'banner bad wraps' : 'wraps'}>
        <strong>Seal:</strong> {seal.correctBy}
      </p>
    </>
  )
}

const COLUMNS: Column<SuspectCut>[] = [
  { key: 'id', head: 'Piece', track: 'minmax(0, 1fr)', cell: (s) => <strong>{s.id}</strong> },
  { key: 'cut', head: 'Cut on', track: '10rem', cell: (s) => <span>{day(s.cutAt)}</span> },
  {
    key: 'short',
    head: 'Likely short by',
    track: '9rem',
    number: true,
    cell: (s) => <span>{s.shortUm === 0 ? 'long enough' : `${metres(s.shortUm)} m`}</span>,
  },
  {
    key: 'may',
    head: 'May be short by',
    track: '9rem',
    number: true,
    cell: (s) => <span>{s.mayBeShortUm === null ? 'not known' : `${metres(s.mayBeShortUm)} m`}</span>,
  },
]

const metres = (um: number) => figureText(mFromUm(um), 3)

function Suspects({ report, claimedRatio }: { report: CounterReport; claimedRatio: number }) {
  const { lookBack, cutsRecorded } = report
  const { suspect } = lookBack
  return (
    <section className="stack close" aria-labelledby="suspect-head">
      <h2 id="suspect-head" className="wrong">
        Suspect: {cutsRecorded ? many(suspect.length, 'recorded piece') : 'pieces cannot be named'}
      </h2>
      <p className="banner bad wraps" role="note">
        {lookBack.reason} (good: the mean of a day lies within the claimed {percentText(claimedRatio)}).
        {!cutsRecorded &&
          ' Cuts are not recorded in more/cuts.csv: go through the cards of all that was cut since.'}
      </p>
      {suspect.length > 0 && (
        <DataTable caption="Suspect pieces" columns={COLUMNS} rows={suspect} keyOf={(s) => s.id} />
      )}
    </section>
  )
}
