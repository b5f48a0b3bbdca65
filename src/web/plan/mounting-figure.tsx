import { memo, type ReactNode, useMemo } from 'react'
import { stripDrawing } from '../../drawing/strip-drawing.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import type { Mounting } from '../../strip/cut-plan.ts'
import type { UsableDrum } from '../../strip/usable.ts'
import { day, many } from '../format.ts'
import { lineKey } from '../orders/order-answer.ts'
import { wantedText } from '../orders/wanted-text.ts'
import { drawingWidthPx, TEXT_SIZE_PX } from '../parts/drawing-size.ts'
import { Near } from '../parts/near.tsx'
import { StripPicture } from '../parts/strip-picture.tsx'
import { useWorks } from '../works-state.tsx'

interface Props {
  input: PlanInput
  mounting: Mounting
  number: number
  zoom: number
  chosenLine: string | null
  onChoose: (line: string, interval: number) => void
  actions?: ReactNode
}

const HEIGHT_PX = 180

export const MountingFigure = memo(function MountingFigure(props: Props) {
  const { input, mounting, number } = props
  const { planned } = useWorks()
  const drum = planned?.usable.find((u) => u.drum.drum === mounting.drum)
  const pieces = mounting.intervals.reduce((n, x) => n + (x.use === 'piece' && x.part === 1 ? x.count : 0), 0)
  const bench = input.benchHall.benches.some((b) => b.id === mounting.line)
  return (
    <figure className="mounting" id={`mounting-${number}`} aria-label={`Mounting ${number}`}>
      <figcaption className="row">
        <h3>
          {number}. {mounting.drum} on {mounting.line}
        </h3>
        <span className="small quiet wraps">
          {bench ? 'cutting bench · ' : ''}
          {many(pieces, 'piece')}
          {drum &&
            ` · ${drum.drum.cable} · lot ${drum.drum.lot} · stands at ${drum.drum.location ?? 'no place recorded'}`}
        </span>
      </figcaption>
      {drum ? (
        <Near heightPx={HEIGHT_PX}>
          {(widthPx) => <MountingPicture {...props} drum={drum} widthPx={widthPx} />}
        </Near>
      ) : (
        <p className="wrong">The drum {mounting.drum} is no longer in the works: plan again.</p>
      )}
      {props.actions}
    </figure>
  )
})

function MountingPicture(props: Props & { drum: UsableDrum; widthPx: number }) {
  const { input, mounting, drum, widthPx, zoom, chosenLine, onChoose } = props
  const lines = useMemo(() => new Map(input.orders.map((line) => [lineKey(line), line])), [input.orders])
  const drawing = useMemo(
    () =>
      stripDrawing({
        usable: drum,
        mounting,
        width: drawingWidthPx(widthPx) * zoom,
        textSize: TEXT_SIZE_PX,
        unitOf: (order, line) => lines.get(`${order}/${line}`)?.unit ?? 'm',
      }),
    [drum, mounting, widthPx, zoom, lines],
  )
  const byKey = useMemo(
    () =>
      new Map(
        mounting.intervals.map((x, i) => [
          `interval ${i}`,
          x.use === 'piece' ? `${x.order}/${x.orderLine}` : null,
        ]),
      ),
    [mounting],
  )
  const chosen = useMemo(
    () => new Set([...byKey].filter(([, line]) => line !== null && line === chosenLine).map(([key]) => key)),
    [byKey, chosenLine],
  )
  return (
    <StripPicture
      drawing={drawing}
      chosen={chosen}
      onChoose={(key) => {
        const line = byKey.get(key)
        if (line) onChoose(line, Number(key.slice('interval '.length)))
      }}
      factsOf={(key) => {
        const line = lines.get(byKey.get(key) ?? '')
        return (
          line && (
            <p className="wraps quiet">
              {line.customer}: {wantedText(line)}, due {day(line.dueDate)}
            </p>
          )
        )
      }}
    />
  )
}
