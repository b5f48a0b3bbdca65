import { useMemo } from 'react'
import { stripDrawing } from '../../../drawing/strip-drawing.ts'
import { drawingWidthPx, TEXT_SIZE_PX } from '../../parts/drawing-size.ts'
import { Near } from '../../parts/near.tsx'
import { StripPicture } from '../../parts/strip-picture.tsx'
import { type DrumHistory, drawnWithDone } from './drum-history.ts'

const HEIGHT_PX = 160

/** The mounted drum to scale: what is done filled, the cut in hand with a heavy outline. */
export function FloorDrawing({ history, waiting }: { history: DrumHistory; waiting: number }) {
  return (
    <figure className="floor-drawing" aria-label={`Drum ${history.drum}`}>
      <Near heightPx={HEIGHT_PX}>
        {(widthPx) => <Picture history={history} waiting={waiting} widthPx={widthPx} />}
      </Near>
    </figure>
  )
}

function Picture(props: { history: DrumHistory; waiting: number; widthPx: number }) {
  const { history, waiting, widthPx } = props
  const drawing = useMemo(() => {
    const { usable, mounting, done } = drawnWithDone(history)
    const progress = { done: done + waiting, now: done + waiting }
    // lengths of the orders are told in words beside it; the drawing is the drum's, in metres
    const unitOf = () => 'm' as const
    const width = drawingWidthPx(widthPx)
    return stripDrawing({ usable, mounting, width, textSize: TEXT_SIZE_PX, unitOf, progress })
  }, [history, waiting, widthPx])
  return <StripPicture drawing={drawing} />
}
