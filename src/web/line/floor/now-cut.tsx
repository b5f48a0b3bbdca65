import type { ReactNode } from 'react'
import type { FloorCut } from '../../../works/floor-api.ts'
import { cutText, stopFigure, stopLabel } from './cut-text.ts'

/** The cut in hand, in the largest type on the screen. */
export function NowCut({ cut, left, children }: { cut: FloorCut; left: number; children: ReactNode }) {
  return (
    <section className="floor-now" aria-labelledby="now-head">
      <h2 id="now-head">
        Now: {cut.use === 'rest' ? 'the rest' : `cut ${cut.row.cut}`}
        <span className="quiet"> · {left > 1 ? `${left - 1} more after it` : 'the last here'}</span>
      </h2>
      <p className="now-what wraps">{cutText(cut)}</p>
      <dl className="now-figures">
        <Figure term={stopLabel(cut)} figure={stopFigure(cut)} unit="m" size="huge" />
        {cut.row.mark && <MarkFigure mark={cut.row.mark} />}
        {cut.slowAtM !== null && (
          <Figure term="Slow at" figure={cut.slowAtM.toFixed(3)} unit="m" size="plain" />
        )}
      </dl>
      {cut.held && (
        <p className="banner bad">
          <strong>Hold this piece:</strong> its stretch has no spark test on record.
        </p>
      )}
      {children}
    </section>
  )
}

/** What comes after it, large enough to be made ready for. */
export function NextCut({ cut }: { cut: FloorCut | undefined }) {
  return (
    <section className="floor-next" aria-labelledby="next-head">
      <h2 id="next-head">Next</h2>
      {cut ? (
        <>
          <dl className="now-figures">
            <Figure term={stopLabel(cut)} figure={stopFigure(cut)} unit="m" size="large" />
          </dl>
          <p className="wraps">{cutText(cut)}</p>
          {cut.row.mark && <p className="wraps quiet">Mark at the cut: {cut.row.mark}</p>}
        </>
      ) : (
        <p>Nothing more from this drum.</p>
      )}
    </section>
  )
}

/** "3299.9 m": the unit small, as behind every figure here; "no print" has none. */
function MarkFigure({ mark }: { mark: string }) {
  const [, figure, unit] = /^(-?[\d.]+) (\w+)$/.exec(mark) ?? []
  return <Figure term="Mark at the cut" figure={figure ?? mark} unit={unit ?? ''} size="large" />
}

function Figure(props: { term: string; figure: string; unit: string; size: 'huge' | 'large' | 'plain' }) {
  return (
    <div className={`floor-figure ${props.size}`}>
      <dt>{props.term}</dt>
      <dd>
        {props.figure} {props.unit && <span className="big-unit">{props.unit}</span>}
      </dd>
    </div>
  )
}
