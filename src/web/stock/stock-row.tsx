import { memo, type ReactNode, useMemo } from 'react'
import { stripDrawing } from '../../drawing/strip-drawing.ts'
import type { UsableDrum } from '../../strip/usable.ts'
import type { Notice } from '../../works/problem.ts'
import { day, supplyM } from '../format.ts'
import { TEXT_SIZE_PX } from '../parts/drawing-size.ts'
import { Near } from '../parts/near.tsx'
import { StripPicture } from '../parts/strip-picture.tsx'
import { longestCleanUm, stripWidth, weighedUm } from './stock-facts.ts'

interface Props {
  usable: UsableDrum
  /** Of the longest strip shown: all are drawn to one scale. */
  longestUm: number
  zoom: number
  massKgKm: number
  notices: Notice[]
  /** What can be done with it; null until the store has answered. */
  actions: ReactNode
}

const HEIGHT_PX = 150

const CAPS = {
  both: null,
  outer_missing: 'outer end not capped',
  inner_missing: 'inner end not capped',
  none: 'neither end capped',
} as const

const STATES = {
  free: 'free',
  qc_hold: 'held by quality',
  customer_sample: "customer's sample",
  reserved: 'reserved',
} as const

/** One strip: its name and figures, what the witnesses say, and its drawing. */
export const StockRow = memo(function StockRow(props: Props) {
  const { usable, notices, massKgKm } = props
  const { drum } = usable
  const caps = CAPS[drum.endCaps]
  const weighed = weighedUm(drum, massKgKm)
  return (
    <li className="strip-row">
      <div className="row">
        <h2>{drum.drum}</h2>
        <span className="small wraps">
          {drum.cable} · lot {drum.lot} · {drum.kind === 'remnant' ? 'remnant' : 'process drum'}, longest
          clean <strong>{supplyM(longestCleanUm(usable))}</strong>
          {drum.status !== 'free' && <strong className="state-word amber"> · {STATES[drum.status]}</strong>}
          {caps && <strong> · {caps}</strong>}
        </span>
        <details className="small">
          <summary>Facts</summary>
          <dl className="facts">
            <dt>Planned with</dt>
            <dd>{supplyM(usable.lengthUm)}</dd>
            <dt>In the books</dt>
            <dd>{supplyM(drum.bookUm)}</dd>
            <dt>By weight</dt>
            <dd>
              {supplyM(weighed)} (gross {drum.grossKg} kg less {drum.tareKg} kg)
            </dd>
            <dt>Stands at</dt>
            <dd>
              {drum.location ?? 'no place recorded'}, on {drum.putup}, since {day(drum.receivedDate)}
            </dd>
            <dt>Rewound</dt>
            <dd>{['never', 'once'][drum.rewinds] ?? `${drum.rewinds} times`}</dd>
            {drum.note && (
              <>
                <dt>Note</dt>
                <dd>{drum.note}</dd>
              </>
            )}
          </dl>
        </details>
        {props.actions}
      </div>
      {notices.map((notice) => (
        <p key={`${notice.row} ${notice.text}`} className="small witness wraps">
          <strong>{notice.kind === 'witness-weight' ? 'Scale against book.' : 'Marks against book.'}</strong>{' '}
          {notice.text}
        </p>
      ))}
      <Near heightPx={HEIGHT_PX}>{(widthPx) => <StockPicture {...props} widthPx={widthPx} />}</Near>
    </li>
  )
})

function StockPicture({ usable, longestUm, zoom, widthPx }: Omit<Props, 'actions'> & { widthPx: number }) {
  const { widthPx: width, toScale } = stripWidth(usable.lengthUm, longestUm, widthPx, zoom)
  const drawing = useMemo(
    () => stripDrawing({ usable, mounting: null, width, textSize: TEXT_SIZE_PX, unitOf: () => 'm' }),
    [usable, width],
  )
  const faults = useMemo(
    () => new Map(usable.zones.map((z) => [`fault ${z.fault.fault}`, z.fault])),
    [usable],
  )
  return (
    <>
      <StripPicture
        drawing={drawing}
        factsOf={(key) => {
          const fault = faults.get(key)
          return (
            fault && (
              <p className="quiet wraps">
                {fault.what ?? 'no words recorded'}; found {fault.foundAt ? `at ${fault.foundAt} ` : ''}
                {day(fault.foundDate)}, place{' '}
                {fault.positionSource === 'mark_read' ? 'read at the mark' : 'by counter only'}
              </p>
            )
          )
        }}
      />
      {!toScale && <p className="small quiet">Too short for this scale: drawn wider than it is.</p>}
    </>
  )
}
