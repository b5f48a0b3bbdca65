import type { Plan } from '../../plan/plan.ts'
import { eurOfMicro, percent } from '../format.ts'

/** Cost and bound as one bar: what any plan must cost, and what ours adds. */
export function BoundBar({ plan, known }: { plan: Plan; known: boolean }) {
  return (
    <figure className="stack close bound" aria-labelledby="bound-head">
      <h2 id="bound-head">How good is it?</h2>
      {known ? (
        <Bound plan={plan} />
      ) : (
        <p>
          How much less another plan could cost is not proven yet. The plan itself is checked and can be used;
          a longer search proves more.
        </p>
      )}
    </figure>
  )
}

function Bound({ plan }: { plan: Plan }) {
  const must = plan.bound.costMicro
  const adds = Math.max(0, plan.costMicro - must)
  const share = plan.deliveredMicro > 0 ? adds / plan.deliveredMicro : 0
  return (
    <>
      {must > 0 && (
        <div className="bound-bar" aria-hidden="true">
          <div className="bound-must" style={{ flexGrow: must }} />
          <div className="bound-adds" style={{ flexGrow: adds }} />
        </div>
      )}
      <dl className="bound-legend">
        <div>
          <dt>
            <span className="swatch bound-must" aria-hidden="true" /> Any plan must cost at least
          </dt>
          <dd>{eurOfMicro(must)}</dd>
        </div>
        <div>
          <dt>
            <span className="swatch bound-adds" aria-hidden="true" /> Ours adds at most
          </dt>
          <dd>{eurOfMicro(adds)}</dd>
        </div>
      </dl>
      <p className="small quiet">
        Proven for every plan that serves as much as this one. What ours adds is {percent(share)} of the
        material delivered ({eurOfMicro(plan.deliveredMicro)}).
      </p>
    </>
  )
}
