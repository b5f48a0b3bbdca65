import { useState } from 'react'
import type { FloorRepair } from '../../../works/floor-api.ts'
import { many } from '../../format.ts'

/** What an event did to the plan, in words; put away by a press. */
export function RepairNote({ repair }: { repair: FloorRepair }) {
  const [seen, setSeen] = useState<number | null>(null)
  const shown = repair.state !== 'none' && repair.because !== seen
  return (
    <div role="status">
      {shown && (
        <div className={repair.state === 'failed' ? 'banner bad row' : 'banner row'}>
          <div className="grow stack close">
            <p className="wraps">
              <strong>{HEADS[repair.state]}</strong> {repair.why}
            </p>
            {repair.state === 'failed' && <p className="wraps">{repair.message}</p>}
            {repair.state === 'done' && <Changes repair={repair} />}
          </div>
          {repair.state !== 'running' && (
            <button type="button" className="button in-hand" onClick={() => setSeen(repair.because)}>
              Seen
            </button>
          )}
        </div>
      )}
    </div>
  )
}

const HEADS: Record<FloorRepair['state'], string> = {
  none: '',
  running: 'The rest is being planned anew.',
  done: 'The rest was planned anew.',
  failed: 'The rest could not be planned anew.',
}

/** While the drum turns only that it changed and for whom; what changed is one press away. */
function Changes({ repair }: { repair: FloorRepair }) {
  const { changes, orders } = repair
  // where a drum ends short of its pieces nothing may be cut otherwise, and they still lack
  if (changes.length === 0 && orders.length === 0) return <p>Nothing is cut otherwise.</p>
  return (
    <>
      {orders.length > 0 && <p className="wraps">Orders it touches: {orders.join(', ')}.</p>}
      {changes.length > 0 && (
        <details>
          <summary>{many(changes.length, 'change')}</summary>
          <ul className="figure-list">
            {changes.map((text) => (
              <li key={text} className="wraps">
                {text}
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  )
}
