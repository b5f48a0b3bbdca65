import { useMemo } from 'react'
import { stripChanges } from '../../drawing/strip-changes.ts'
import { stripDrawing } from '../../drawing/strip-drawing.ts'
import type { OrderLine } from '../../order/order-line.ts'
import type { Plan } from '../../plan/plan.ts'
import type { Interval, Mounting } from '../../strip/cut-plan.ts'
import type { UsableDrum } from '../../strip/usable.ts'
import { lineKey } from '../orders/order-answer.ts'
import { drawingWidthPx, TEXT_SIZE_PX } from '../parts/drawing-size.ts'
import { Near } from '../parts/near.tsx'
import { StripPicture } from '../parts/strip-picture.tsx'

interface Props {
  usable: UsableDrum[]
  orders: OrderLine[]
  before: Plan
  after: Plan
}

const HEIGHT_PX = 180

/** The drums that the two plans cut otherwise, before and after. */
export function ComparedDrawings({ usable, orders, before, after }: Props) {
  const pairs = useMemo(() => changedDrums(before, after), [before, after])
  const units = useMemo(() => new Map(orders.map((line) => [lineKey(line), line.unit])), [orders])
  return pairs.map(({ drum, old, now }) => {
    const strip = usable.find((u) => u.drum.drum === drum)
    if (!strip) return null
    return (
      <section className="compared" key={drum} aria-label={`${drum}, both plans`}>
        <Side strip={strip} word="As it is" mounting={old} changes={null} units={units} />
        <Side
          strip={strip}
          word="With the change"
          mounting={now}
          changes={old?.intervals ?? null}
          units={units}
        />
      </section>
    )
  })
}

/** Drums whose cuts or line differ, in the order of the new plan. */
function changedDrums(
  before: Plan,
  after: Plan,
): { drum: string; old: Mounting | null; now: Mounting | null }[] {
  const drums = new Set([...after.mountings, ...before.mountings].map((m) => m.drum))
  return [...drums].flatMap((drum) => {
    const old = before.mountings.find((m) => m.drum === drum) ?? null
    const now = after.mountings.find((m) => m.drum === drum) ?? null
    return cutsOf(old) === cutsOf(now) ? [] : [{ drum, old, now }]
  })
}

function cutsOf(mounting: Mounting | null): string {
  if (!mounting) return ''
  const cuts = mounting.intervals.map((i) =>
    i.use === 'piece' ? `${i.order}/${i.orderLine}×${i.count}@${i.toUm}` : `${i.use}@${i.toUm}`,
  )
  return [mounting.line, ...cuts].join(' ')
}

interface SideProps {
  strip: UsableDrum
  word: string
  mounting: Mounting | null
  /** The cuts before, to be marked against; null on the side of before. */
  changes: Interval[] | null
  units: Map<string, 'm' | 'ft'>
}

function Side({ strip, word, mounting, changes, units }: SideProps) {
  const { drum } = strip.drum
  return (
    <figure className="mounting" aria-label={`${drum}: ${word}`}>
      <figcaption className="small">
        <strong>{drum}</strong> {mounting ? `on ${mounting.line}` : 'is not mounted'} ·{' '}
        <span className="quiet">{word}</span>
      </figcaption>
      <Near heightPx={HEIGHT_PX}>
        {(widthPx) => (
          <StripPicture
            drawing={stripDrawing({
              usable: strip,
              mounting,
              width: drawingWidthPx(widthPx),
              textSize: TEXT_SIZE_PX,
              unitOf: (order, line) => units.get(`${order}/${line}`) ?? 'm',
              ...(word === 'With the change' && mounting
                ? { changes: stripChanges(mounting.intervals, changes) }
                : {}),
            })}
          />
        )}
      </Near>
    </figure>
  )
}
