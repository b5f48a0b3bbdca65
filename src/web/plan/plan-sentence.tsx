import { tellsOfCost } from '../../plan/plan.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import type { PlanAnswer } from '../../works/api.ts'
import { count, day, eurOfMicro, many } from '../format.ts'

interface Props {
  input: PlanInput
  answer: PlanAnswer | null
  boundKnown: boolean
}

/** The answer of the place in words, with the number that matters. */
export function PlanSentence({ input, answer, boundKnown }: Props) {
  const lines = input.orders.length
  if (!answer) return <Waiting input={input} />
  const { plan } = answer
  const unserved = plan.unserved.length
  const gap = plan.costMicro - plan.bound.costMicro
  const proven = boundKnown && plan.unservedMicro <= plan.bound.unservedMicro
  return (
    <p className="sentence" data-testid="plan-sentence">
      <strong>
        {unserved === 0 ? allOf(lines) : `${count(lines - unserved)} of ${many(lines, 'order line')}`}
      </strong>{' '}
      {lines === 1 ? 'is' : 'are'} served in full, from {many(plan.mountings.length, 'mounting')}.{' '}
      {unserved > 0 &&
        (proven
          ? `${unserved === 1 ? 'One line is' : `${count(unserved)} lines are`} not, and no plan can serve more. `
          : `${count(unserved)} are not; whether another plan could serve more is not proven. `)}
      The plan costs {eurOfMicro(plan.costMicro)}
      {boundKnown && tellsOfCost(plan)
        ? `; ${betterText(gap)}.`
        : '; how much less another could cost is not proven yet.'}
    </p>
  )
}

function allOf(lines: number): string {
  return lines === 1 ? 'The one order line' : `All ${many(lines, 'order line')}`
}

function betterText(gapMicro: number): string {
  if (gapMicro <= 0) return 'no other that serves as much costs less'
  return `any other that serves as much costs at most ${eurOfMicro(gapMicro)} less`
}

function Waiting({ input }: { input: PlanInput }) {
  const first = input.orders.map((line) => line.dueDate).sort()[0]
  if (!first)
    return <p className="sentence">There are no order lines to plan. Paste some on the place Orders.</p>
  return (
    <p className="sentence">
      <strong>{many(input.orders.length, 'order line')}</strong> and {many(input.drums.length, 'strip')} of
      cable; nothing is planned yet. The first line is due on {day(first)}.
    </p>
  )
}
