import type { CostItems, Plan } from '../../plan/plan.ts'
import { eurOfMicro } from '../format.ts'

const ITEMS: Record<keyof CostItems, string> = {
  stockValueLost: 'Value that the stock loses on the drums mounted',
  copperReturned: 'Less: copper that the scrap pays back',
  mountings: 'Mounting the drums',
  putupChanges: 'Changing from one put-up to the next',
  windOffs: 'Winding off and storing remnants',
  putups: 'Put-ups that we choose ourselves',
  materialDelivered: 'Less: material in what is delivered',
}

/** Where the cost comes from. */
export function CostTable({ plan }: { plan: Plan }) {
  return (
    <section className="stack close" aria-labelledby="cost-head">
      <h2 id="cost-head">What it costs, and why</h2>
      <table className="sums">
        <tbody>
          {(Object.keys(ITEMS) as (keyof CostItems)[]).map((item) => (
            <tr key={item}>
              <th scope="row">{ITEMS[item]}</th>
              <td>{eurOfMicro(plan.costItems[item])}</td>
            </tr>
          ))}
        </tbody>
        <tfoot>
          <tr>
            <th scope="row">Cost of the plan: what it wastes and handles</th>
            <td>{eurOfMicro(plan.costMicro)}</td>
          </tr>
        </tfoot>
      </table>
    </section>
  )
}
