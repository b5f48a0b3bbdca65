import { useMemo } from 'react'
import { isDueToday } from '../../order/due-today.ts'
import type { OrderLine } from '../../order/order-line.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import { day } from '../format.ts'
import { AnswerText } from '../orders/answer-text.tsx'
import { lineKey, type OrderAnswer } from '../orders/order-answer.ts'
import { wantedText } from '../orders/wanted-text.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import type { Choice } from './choice.ts'

interface Props {
  input: PlanInput
  answers: Map<string, OrderAnswer>
  choice: Choice | null
  onChoose: (choice: Choice) => void
}

/** The order lines beside the drawings, soonest due first. */
export function PlanLines({ input, answers, choice, onChoose }: Props) {
  const { todayDate } = input.site.works
  const rows = useMemo(
    () => [...input.orders].sort((a, b) => (a.dueDate < b.dueDate ? -1 : a.dueDate > b.dueDate ? 1 : 0)),
    [input.orders],
  )
  const columns = useMemo<Column<OrderLine>[]>(
    () => [
      { key: 'line', head: 'Line', track: '5.5rem', cell: (line) => <span>{lineKey(line)}</span> },
      {
        key: 'what',
        head: 'What, and from where',
        track: 'minmax(0, 1fr)',
        wide: true,
        cell: (line) => (
          <div>
            {wantedText(line)} · {isDueToday(line.dueDate, todayDate) ? <strong>today</strong> : 'later'},{' '}
            {day(line.dueDate)}
            <br />
            <AnswerText answer={answers.get(lineKey(line))!} />
          </div>
        ),
      },
    ],
    [answers, todayDate],
  )
  return (
    <section className="stack close plan-lines" aria-labelledby="lines-head">
      <h2 id="lines-head">Order lines</h2>
      <DataTable
        caption="Order lines of the plan"
        columns={columns}
        rows={rows}
        keyOf={lineKey}
        chosen={choice?.line ?? null}
        onChoose={(line) => onChoose({ line, from: 'table', cut: null })}
        pane
        lines={4}
      />
    </section>
  )
}
