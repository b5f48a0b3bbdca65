import type { RunFinding } from '../../line/replay/finding.ts'
import type { RunAnalysis } from '../../line/replay/run-analysis.ts'
import { figureText } from '../../quantity/length-text.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'

const WORDS = { wrong: '✗ wrong', watch: '! look at it', note: 'note' } as const

function placeText({ fromM, toM, placeUncertaintyM }: RunFinding): string {
  if (fromM === null || toM === null) return '–'
  const [from, to] = [fromM.toFixed(1), toM.toFixed(1)]
  const band = placeUncertaintyM === null ? '' : ` ± ${figureText(placeUncertaintyM, 2)}`
  return from === to ? `${from}${band}` : `${from} to ${to}${band}`
}

const COLUMNS: Column<RunFinding>[] = [
  {
    key: 'severity',
    head: 'How bad',
    track: '7rem',
    cell: (f) => (
      <strong className={f.severity === 'wrong' ? 'wrong' : undefined}>{WORDS[f.severity]}</strong>
    ),
  },
  {
    key: 'at',
    head: 'At, s',
    track: '5rem',
    number: true,
    cell: (f) => <span>{figureText(f.fromS, 1)}</span>,
  },
  {
    key: 'place',
    head: 'Place, m from the outer end',
    track: '12rem',
    number: true,
    cell: (f) => <span>{placeText(f)}</span>,
  },
  { key: 'text', head: 'What', track: 'minmax(0, 1fr)', wide: true, cell: (f) => <span>{f.text}</span> },
]

/** Everything that was found, in the order of the run. */
export function RunFindings({ analysis }: { analysis: RunAnalysis }) {
  const { findings, seen } = analysis
  return (
    <section className="stack close" aria-labelledby="findings-head">
      <h2 id="findings-head">What was found</h2>
      {findings.length === 0 ? (
        <p>Nothing: counter, turns, payoff, diameter, spark test and tension all agree.</p>
      ) : (
        <DataTable
          caption="Findings"
          columns={COLUMNS}
          rows={findings}
          keyOf={(f, i) => `${i} ${f.kind} ${f.fromS}`}
        />
      )}
      <p className="small wraps">
        On record: spark test from {seen.sparkFromM.toFixed(1)} to {seen.sparkToM.toFixed(1)} m, diameter from{' '}
        {seen.gaugeFromM.toFixed(1)} to {seen.gaugeToM.toFixed(1)} m. What lay between head and cutter at the
        start passed before the record began.
      </p>
    </section>
  )
}
