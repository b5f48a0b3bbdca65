import type { Plan } from '../../plan/plan.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import { day, eur, many, supplyM } from '../format.ts'
import { lineKey } from '../orders/order-answer.ts'
import { wantedText } from '../orders/wanted-text.ts'

/** Each line that is not served: the reason in one sentence, and what can be offered. */
export function UnservedList({ input, plan }: { input: PlanInput; plan: Plan }) {
  if (plan.unserved.length === 0) return null
  const lines = new Map(input.orders.map((line) => [lineKey(line), line]))
  return (
    <section className="stack close" aria-labelledby="unserved-head">
      <h2 id="unserved-head">Not served: {many(plan.unserved.length, 'order line')}</h2>
      <ul className="unserved">
        {plan.unserved.map((u) => {
          const key = `${u.order}/${u.orderLine}`
          const line = lines.get(key)
          return (
            <li key={key} className="wraps">
              <h3>
                {key}
                {line && `, ${line.customer}: ${wantedText(line)}`}
              </h3>
              <p>
                {line && line.qty > u.pieces ? `${u.pieces} of ${line.qty} pieces. ` : ''}
                {u.reason}
              </p>
              <p>
                {u.offer
                  ? `Can be offered: ${supplyM(u.offer.lengthUm)} in one length from ${u.offer.drum}, lot ${u.offer.lot}.`
                  : 'Nothing in stock can be offered instead.'}{' '}
                {line && (
                  <span className="quiet">
                    Due {day(line.dueDate)}, {eur((line.priceEur * u.pieces) / line.qty)}.
                  </span>
                )}
              </p>
            </li>
          )
        })}
      </ul>
    </section>
  )
}
