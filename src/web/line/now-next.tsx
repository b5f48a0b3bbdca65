import { useState } from 'react'
import type { RunRow } from '../../dispatch/run-row.ts'
import type { RunSheet } from '../../dispatch/run-sheet.ts'
import type { CutRun } from '../../line/cut-run.ts'
import { many } from '../format.ts'

/** Now and next in the largest type; what was done is kept on this screen only, until the ledger takes it. */
export function NowNext({ sheet, presets }: { sheet: RunSheet; presets: CutRun[] }) {
  const [at, setAt] = useState(0)
  const cuts = sheet.rows.filter((row) => row.cut !== 'rest')
  const now = cuts[at]
  const next = cuts[at + 1]
  const preset = now && presets.find((p) => String(p.cut) === now.cut)
  return (
    <section className="now-next" aria-labelledby="now-head">
      <h2 id="now-head">{now ? `Now: cut ${now.cut} of ${cuts.length}` : 'All cuts are done'}</h2>
      <div role="status" className="stack">
        {now ? (
          <>
            <p className="now-what wraps">{whatText(now)}</p>
            <dl className="now-figures">
              <Big
                term={sheet.bench ? 'Measure off' : 'Stop at'}
                figure={preset ? preset.stopAtM.toFixed(3) : now.run}
                unit="m"
                huge
              />
              {preset && <Big term="Slow at" figure={preset.slowAtM.toFixed(3)} unit="m" />}
              <Big term="Mark at the cut" figure={now.mark || 'no print'} unit="" />
            </dl>
            {now.held && (
              <p className="banner bad">
                <strong>Hold this piece:</strong> its stretch has no spark test on record.
              </p>
            )}
          </>
        ) : (
          <p className="now-what wraps">{sheet.rest}</p>
        )}
        <p className="now-next-line wraps">
          <span className="quiet">Next: </span>
          {next ? `cut ${next.cut}, ${whatText(next)}` : now ? 'nothing more to cut' : 'the next mounting'}
        </p>
      </div>
      <div className="row hand-row">
        <button
          type="button"
          className="button in-hand"
          aria-disabled={at === 0}
          onClick={() => setAt(Math.max(0, at - 1))}
        >
          ← Cut before
        </button>
        <button
          type="button"
          className="main-action in-hand"
          aria-disabled={!now}
          onClick={() => setAt(Math.min(cuts.length, at + 1))}
        >
          {now ? `Cut ${now.cut} done` : `${many(cuts.length, 'cut')} done`}
        </button>
        <p className="small quiet">Kept on this screen only: nothing is booked from here yet.</p>
      </div>
    </section>
  )
}

function Big(props: { term: string; figure: string; unit: string; huge?: boolean }) {
  return (
    <div className={props.huge ? 'big huge' : 'big'}>
      <dt>{props.term}</dt>
      <dd>
        {props.figure} <span className="big-unit">{props.unit}</span>
      </dd>
    </div>
  )
}

function whatText(row: RunRow): string {
  const parts = [
    row.what,
    row.order && `order ${row.order}`,
    row.declared && `declared ${row.declared}`,
    row.putup,
  ]
  return parts.filter(Boolean).join(', ')
}
