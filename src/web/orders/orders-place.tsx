import { useMemo, useState } from 'react'
import type { OrderLine } from '../../order/order-line.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import { Allowed } from '../access/allowed.tsx'
import { day, eur } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { PatternTiles } from '../parts/shape-svg.tsx'
import { useWorks } from '../works-state.tsx'
import { AnswerText } from './answer-text.tsx'
import { lineKey, type OrderAnswer, orderAnswers } from './order-answer.ts'
import type { OrdersDraft } from './orders-draft.ts'
import { anyLine, matches, type OrdersFilter, OrdersFilterBar } from './orders-filter.tsx'
import { OrdersIntake } from './orders-intake.tsx'
import { OrdersSentence } from './orders-sentence.tsx'
import { wantedText } from './wanted-text.ts'
import { WhereFrom } from './where-from.tsx'

interface Props {
  input: PlanInput
  draft: OrdersDraft
  onDraft: (change: (draft: OrdersDraft) => OrdersDraft) => void
}

function columnsOf(answers: Map<string, OrderAnswer>): Column<OrderLine>[] {
  return [
    { key: 'line', head: 'Line', track: '6rem', cell: (line) => <span>{lineKey(line)}</span> },
    { key: 'due', head: 'Due', track: '6.5rem', cell: (line) => <span>{day(line.dueDate)}</span> },
    {
      key: 'what',
      head: 'Wanted',
      track: '12rem',
      wide: true,
      cell: (line) => <span>{wantedText(line)}</span>,
    },
    {
      key: 'customer',
      head: 'Customer',
      track: 'minmax(0, 2fr)',
      wide: true,
      cell: (line) => <span className="clamped">{line.customer}</span>,
    },
    {
      key: 'answer',
      head: 'Can we serve it, from what?',
      track: 'minmax(0, 4fr)',
      wide: true,
      cell: (line) => <AnswerText answer={answers.get(lineKey(line))!} />,
    },
    {
      key: 'price',
      head: 'Price',
      track: '6rem',
      number: true,
      cell: (line) => <span>{eur(line.priceEur)}</span>,
    },
  ]
}

/** Can we serve it, from what, by when? */
export function OrdersPlace({ input, draft, onDraft }: Props) {
  const { plan, usable } = useWorks()
  const [filter, setFilter] = useState<OrdersFilter>(anyLine)
  const [chosen, setChosen] = useState<string | null>(null)
  const answers = useMemo(
    () => orderAnswers(input.orders, plan?.plan ?? null, usable),
    [input.orders, plan, usable],
  )
  const rows = useMemo(() => {
    const found = input.orders.filter((line) => matches(line, answers.get(lineKey(line))!, filter))
    return found.sort((a, b) => (a.dueDate < b.dueDate ? -1 : a.dueDate > b.dueDate ? 1 : 0))
  }, [input.orders, answers, filter])
  const columns = useMemo(() => columnsOf(answers), [answers])
  const line = input.orders.find((x) => lineKey(x) === chosen)
  return (
    <>
      <PatternTiles />
      <section className="stack" aria-labelledby="place-name">
        <h1 className="place-name" id="place-name">
          Orders: can we serve it, from what, by when?
        </h1>
        <OrdersSentence input={input} answers={answers} />
        {plan?.stale && (
          <p className="banner">
            The orders or the stock have changed since the plan was made: the answers below are of that plan.
            Plan again.
          </p>
        )}
      </section>
      <Allowed deed="change-works">
        <OrdersIntake draft={draft} onDraft={onDraft} />
      </Allowed>
      <div className="stack">
        <OrdersFilterBar orders={input.orders} filter={filter} found={rows.length} onFilter={setFilter} />
        {line && <WhereFrom line={line} answer={answers.get(lineKey(line))!} />}
        <DataTable
          caption="Order lines"
          columns={columns}
          rows={rows}
          keyOf={lineKey}
          chosen={chosen}
          onChoose={(key) => setChosen(key === chosen ? null : key)}
        />
        {rows.length === 0 && input.orders.length > 0 && <p>No order line matches the filter.</p>}
      </div>
    </>
  )
}
