import { useEffect, useRef } from 'react'
import { differenceText, surenessText } from '../../plan/explain-text.ts'
import { type Plan, tellsOfCost } from '../../plan/plan.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import type { UsableDrum } from '../../strip/usable.ts'
import type { TryAnswer } from '../../works/api.ts'
import { eurOfMicro, many } from '../format.ts'
import { changeText } from './change-text.ts'
import { ComparedDrawings } from './compared-drawings.tsx'
import type { Trial } from './trial.ts'

interface Props {
  input: PlanInput
  usable: UsableDrum[]
  plan: Plan
  answer: TryAnswer
  trial: Trial
}

function isBetter(a: Plan, b: Plan): boolean {
  return (
    a.unservedMicro < b.unservedMicro || (a.unservedMicro === b.unservedMicro && a.costMicro < b.costMicro)
  )
}

/** Both plans side by side, and the choice between them. */
export function TryResult({ input, usable, plan, answer, trial }: Props) {
  const { before, after, comparison, changes, addedOrder } = answer
  const head = useRef<HTMLHeadingElement>(null)
  useEffect(() => {
    if (answer) head.current?.focus()
  }, [answer])
  const orders = addedOrder ? [...input.orders, addedOrder] : input.orders
  const waits = trial.busy !== null
  return (
    <section className="stack close try-result" aria-labelledby="try-result-head">
      <h3 id="try-result-head" tabIndex={-1} ref={head}>
        With the change the plan {differenceText(comparison, eurOfMicro)}
      </h3>
      <p>{surenessText(comparison, eurOfMicro)}</p>
      <Figures before={before} after={after} />
      <div className="row">
        <button
          type="button"
          className={isBetter(after, before) ? 'main-action' : 'button'}
          aria-disabled={waits}
          onClick={() => {
            if (!waits) void trial.take('after')
          }}
        >
          Take the changed plan
        </button>
        {isBetter(before, plan) && (
          <button
            type="button"
            className={isBetter(after, before) ? 'button' : 'main-action'}
            aria-disabled={waits}
            onClick={() => {
              if (!waits) void trial.take('before')
            }}
          >
            Take the plan without it: {eurOfMicro(plan.costMicro - before.costMicro)} less than now
          </button>
        )}
        <button type="button" className="button" onClick={trial.putAway}>
          Keep the plan as it is
        </button>
      </div>
      <h4>
        {changes.length === 0 ? 'Nothing is cut otherwise.' : `${many(changes.length, 'thing')} otherwise`}
      </h4>
      {changes.length > 0 && (
        <details>
          <summary>All of them as a list</summary>
          <ul className="change-list">
            {changes.map((change) => (
              <li key={JSON.stringify(change)} className="wraps">
                {changeText(change)}
              </li>
            ))}
          </ul>
        </details>
      )}
      <ComparedDrawings usable={usable} orders={orders} before={plan} after={after} />
    </section>
  )
}

function Figures({ before, after }: { before: Plan; after: Plan }) {
  const rows = [
    { what: 'Not served, weighted by due date', of: (p: Plan) => eurOfMicro(p.unservedMicro) },
    { what: 'Cost', of: (p: Plan) => eurOfMicro(p.costMicro) },
    {
      what: 'Could be less by at most',
      of: (p: Plan) => (tellsOfCost(p) ? eurOfMicro(p.costMicro - p.bound.costMicro) : 'not proven'),
    },
    { what: 'Mountings', of: (p: Plan) => String(p.mountings.length) },
  ]
  return (
    <table className="sums compare">
      <thead>
        <tr>
          <td />
          <th scope="col">As it is</th>
          <th scope="col">With the change</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(({ what, of }) => (
          <tr key={what}>
            <th scope="row">{what}</th>
            <td>{of(before)}</td>
            <td>{of(after)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
