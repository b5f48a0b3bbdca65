import type { OrderLine } from '../../order/order-line.ts'
import type { Plan, Unserved } from '../../plan/plan.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import { unservedMicro } from '../../plan/tariff.ts'
import { day, eur, many, supplyM } from '../format.ts'
import { lineKey } from '../orders/order-answer.ts'
import { wantedText } from '../orders/wanted-text.ts'

/** So many stand open: the drawings of the plan come after them. */
const SHOWN = 8

/** Each line that is not served, what weighs most first: the reason in one sentence, and what can be offered. */
export function UnservedList({ input, plan }: { input: PlanInput; plan: Plan }) {
  if (plan.unserved.length === 0) return null
  const lines = new Map(input.orders.map((line) => [lineKey(line), line]))
  const weightMicro = ({ order, orderLine, pieces }: Unserved) => {
    const line = lines.get(`${order}/${orderLine}`)
    return line ? unservedMicro(line, pieces, input.site.works.todayDate) : 0
  }
  const sorted = [...plan.unserved].sort((a, b) => weightMicro(b) - weightMicro(a))
  const folded = sorted.slice(SHOWN)
  return (
    <section className="stack close" aria-labelledby="unserved-head">
      <h2 id="unserved-head">Not served: {many(plan.unserved.length, 'order line')}</h2>
      <Reasons unserved={sorted.slice(0, SHOWN)} lines={lines} />
      {folded.length > 0 && (
        <details>
          <summary>{many(folded.length, 'more order line')} not served</summary>
          <Reasons unserved={folded} lines={lines} />
        </details>
      )}
    </section>
  )
}

function Reasons({ unserved, lines }: { unserved: Unserved[]; lines: ReadonlyMap<string, OrderLine> }) {
  return (
    <ul className="unserved">
      {unserved.map((u) => {
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
  )
}
