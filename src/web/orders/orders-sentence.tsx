import type { PlanInput } from '../../plan/plan-input.ts'
import { count, day, many } from '../format.ts'
import type { OrderAnswer } from './order-answer.ts'

export function OrdersSentence({ input, answers }: { input: PlanInput; answers: Map<string, OrderAnswer> }) {
  const total = input.orders.length
  if (total === 0)
    return (
      <p className="sentence">
        <strong>No order lines yet.</strong> Paste some below, or open a works folder that holds them.
      </p>
    )
  const states = [...answers.values()].map((a) => a.state)
  const covered = states.filter((s) => s === 'covered').length
  const waiting = states.filter((s) => s === 'not planned').length
  const first = input.orders.map((line) => line.dueDate).sort()[0]!
  if (waiting === total)
    return (
      <p className="sentence">
        <strong>{many(total, 'order line')}</strong> wait for a plan; the first is due on {day(first)}.
      </p>
    )
  const not = total - covered - waiting
  return (
    <p className="sentence">
      <strong>
        {count(covered)} of {count(total)}
      </strong>{' '}
      order lines are covered by the plan;{' '}
      {not === 0 ? 'none is refused' : `${count(not)} ${not === 1 ? 'is' : 'are'} not, or only in part`}
      {waiting > 0 && `; ${count(waiting)} not planned yet`}. The first is due on {day(first)}.
    </p>
  )
}
