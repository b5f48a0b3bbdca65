import type { PlacedBump } from '../../lead/bump-places.ts'
import type { Judgement } from '../../lead/judge.ts'
import { figureText } from '../../quantity/length-text.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'

/** Where the lead reflects and what sits there; what repeats along it. */
export function JudgePlaces({ judgement }: { judgement: Judgement }) {
  const { bumps, periodic, resolutionM, ripplePeriodMhz } = judgement
  return (
    <section className="stack" aria-labelledby="places-head">
      <h2 id="places-head">What sits where</h2>
      {bumps.length > 0 ? (
        <DataTable
          caption="Reflections by place"
          columns={COLUMNS}
          rows={bumps}
          keyOf={(bump, i) => `${i} ${bump.atM}`}
        />
      ) : (
        <p>
          No reflection stands out of the line{resolutionM === null ? ', or this sweep cannot say where' : ''}
          .
        </p>
      )}
      <p>
        {resolutionM !== null && `Two bumps nearer than ${figureText(resolutionM, 3)} m stand as one. `}
        The ripple of the two connectors repeats every {ripplePeriodMhz.toFixed(2)} MHz.
      </p>
      {periodic && (
        <p className="banner wraps">
          <strong>
            Something repeats every {periodic.pitchM.toFixed(3)} m ± {periodic.plusMinusM.toFixed(3)} m.
          </strong>{' '}
          Spikes at {periodic.spikesMhz.map((f) => f.toFixed(1)).join(', ')} MHz.{' '}
          {periodic.matches.length > 0
            ? `It fits ${periodic.matches.map(matchText).join(', ')}.`
            : 'No roller or barrel of the works has this circumference.'}
        </p>
      )}
    </section>
  )
}

function matchText({ name, marks }: { name: string; marks: number }): string {
  const words = name.replaceAll('_', ' ')
  return marks === 1 ? words : `${words} (${marks} marks a turn)`
}

const COLUMNS: Column<PlacedBump>[] = [
  {
    ...{ key: 'at', head: 'From end A', track: 'minmax(140px, 1fr)', number: true },
    cell: (b) => `${b.atM.toFixed(3)} m ± ${b.plusMinusM.toFixed(3)} m`,
  },
  {
    ...{ key: 'size', head: 'Return loss there', track: 'minmax(120px, 1fr)', number: true },
    cell: (b) => `${b.returnLossDb.toFixed(1)} dB`,
  },
  { key: 'what', head: 'What sits there', track: 'minmax(200px, 3fr)', wide: true, cell: (b) => b.what },
]
