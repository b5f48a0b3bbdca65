import { useMemo } from 'react'
import type { OrderLine } from '../../order/order-line.ts'
import { count, day } from '../format.ts'
import { ChoiceField } from '../parts/choice-field.tsx'
import { lineKey, type OrderAnswer } from './order-answer.ts'

export interface OrdersFilter {
  text: string
  cable: string
  /** Lines due on or before this day. */
  dueBy: string
  state: OrderAnswer['state'] | ''
}

export const anyLine: OrdersFilter = { text: '', cable: '', dueBy: '', state: '' }

const STATES: OrderAnswer['state'][] = ['covered', 'partly', 'not covered', 'not planned']

export function matches(line: OrderLine, answer: OrderAnswer, filter: OrdersFilter): boolean {
  if (filter.cable && line.cable !== filter.cable) return false
  if (filter.dueBy && line.dueDate > filter.dueBy) return false
  if (filter.state && answer.state !== filter.state) return false
  const text = filter.text.trim().toLowerCase()
  if (text === '') return true
  return [lineKey(line), line.customer, line.cable, line.market, line.note ?? '', line.putup ?? '']
    .join('\n')
    .toLowerCase()
    .includes(text)
}

interface Props {
  orders: OrderLine[]
  filter: OrdersFilter
  found: number
  onFilter: (filter: OrdersFilter) => void
}

export function OrdersFilterBar({ orders, filter, found, onFilter }: Props) {
  const cables = useMemo(() => [...new Set(orders.map((line) => line.cable))].sort(), [orders])
  const days = useMemo(() => [...new Set(orders.map((line) => line.dueDate))].sort(), [orders])
  return (
    <search className="row filter">
      <div className="field grow">
        <label htmlFor="filter-text">Order, customer or note</label>
        <input
          id="filter-text"
          type="search"
          value={filter.text}
          onChange={(event) => onFilter({ ...filter, text: event.target.value })}
        />
      </div>
      <ChoiceField
        label="Cable"
        value={filter.cable}
        any="all cables"
        options={cables.map((cable) => [cable, cable])}
        onValue={(cable) => onFilter({ ...filter, cable })}
      />
      <ChoiceField
        label="Due by"
        value={filter.dueBy}
        any="any day"
        options={days.map((date) => [date, day(date)])}
        onValue={(dueBy) => onFilter({ ...filter, dueBy })}
      />
      <ChoiceField
        label="Answer"
        value={filter.state}
        any="any answer"
        options={STATES.map((state) => [state, state])}
        onValue={(state) => onFilter({ ...filter, state: state as OrdersFilter['state'] })}
      />
      <p role="status" className="small quiet">
        {found === orders.length
          ? `${count(found)} lines`
          : `${count(found)} of ${count(orders.length)} lines`}
      </p>
    </search>
  )
}
