import { type ReactNode, useEffect, useMemo, useState } from 'react'
import { isDueToday } from '../../order/due-today.ts'
import type { Plan } from '../../plan/plan.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import type { Mounting } from '../../strip/cut-plan.ts'
import { many } from '../format.ts'
import { lineKey } from '../orders/order-answer.ts'
import { ZoomButtons } from '../parts/zoom-buttons.tsx'
import type { Choice, CutPlace } from './choice.ts'
import { MountingFigure } from './mounting-figure.tsx'

interface Props {
  input: PlanInput
  plan: Plan
  choice: Choice | null
  onChoose: (choice: Choice) => void
  /** What can be asked of the cut that is chosen, under its drawing. */
  actions: (cut: CutPlace) => ReactNode
}

interface Numbered {
  mounting: Mounting
  number: number
}

/** Which mountings hold something that is due soonest. */
function todaysFirst(plan: Plan, input: PlanInput): { today: Numbered[]; later: Numbered[] } {
  const due = new Map(input.orders.map((line) => [lineKey(line), line.dueDate]))
  const { todayDate } = input.site.works
  const numbered = plan.mountings.map((mounting, i) => ({ mounting, number: i + 1 }))
  const today = numbered.filter(({ mounting }) =>
    mounting.intervals.some(
      (x) => x.use === 'piece' && isDueToday(due.get(`${x.order}/${x.orderLine}`) ?? '9999-12-31', todayDate),
    ),
  )
  return { today, later: numbered.filter((x) => !today.includes(x)) }
}

/** Drawings of all mountings: today's, then the later ones. */
export function MountingList({ input, plan, choice, onChoose, actions }: Props) {
  const [zoom, setZoom] = useState(1)
  const { today, later } = useMemo(() => todaysFirst(plan, input), [plan, input])

  useEffect(() => {
    if (choice?.from !== 'table') return
    const first = plan.mountings.findIndex((m) =>
      m.intervals.some((x) => x.use === 'piece' && `${x.order}/${x.orderLine}` === choice.line),
    )
    document.getElementById(`mounting-${first + 1}`)?.scrollIntoView({ block: 'center' })
  }, [choice, plan])

  const groups = [
    { word: 'Today', mountings: today },
    { word: 'Later', mountings: later },
  ].filter((group) => group.mountings.length > 0)
  return (
    <div className="stack mountings">
      <ZoomButtons zoom={zoom} onZoom={setZoom} />
      {groups.map(({ word, mountings }) => (
        <section key={word} className="stack" aria-label={`${word}: mountings`}>
          <h2>
            {word}: {many(mountings.length, 'mounting')}
          </h2>
          {mountings.map(({ mounting, number }) => (
            <MountingFigure
              key={number}
              input={input}
              mounting={mounting}
              number={number}
              zoom={zoom}
              chosenLine={choice?.line ?? null}
              onChoose={(line, interval) =>
                onChoose({ line, from: 'band', cut: { mounting: number - 1, interval } })
              }
              actions={choice?.cut?.mounting === number - 1 ? actions(choice.cut) : null}
            />
          ))}
        </section>
      ))}
    </div>
  )
}
