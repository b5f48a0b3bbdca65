import type { Plan } from '../../plan/plan.ts'
import { useMe } from '../access/me-state.tsx'
import { many } from '../format.ts'
import type { CutPlace } from './choice.ts'
import type { Trial } from './trial.ts'

/** What can be asked of the cut that is chosen: under its drawing, next in the order of tabbing. */
export function CutActions({ plan, cut, trial }: { plan: Plan; cut: CutPlace; trial: Trial }) {
  const { may } = useMe()
  const mounting = plan.mountings[cut.mounting]
  const piece = mounting?.intervals[cut.interval]
  if (!mounting || piece?.use !== 'piece') return null
  const { order, orderLine } = piece
  const { drum } = mounting
  const { add, busy, changes } = trial
  const waits = busy !== null
  return (
    <fieldset className="cut-actions">
      <legend>
        Cut {cut.interval + 1}, {order}/{orderLine} on {drum}
      </legend>
      {may('plan') && (
        <>
          <button type="button" className="button" onClick={() => add({ kind: 'hold', ...cut })}>
            Hold it here
          </button>
          <button
            type="button"
            className="button"
            onClick={() => add({ kind: 'forbid', order, orderLine, drum })}
          >
            Not from {drum}
          </button>
          <button type="button" className="button" onClick={() => add({ kind: 'exclude', drum })}>
            Leave {drum} out
          </button>
        </>
      )}
      <button
        type="button"
        className="button"
        aria-disabled={waits}
        onClick={() => {
          if (!waits) void trial.explain(`${order}/${orderLine}`)
        }}
      >
        Why from here?
      </button>
      {changes.length > 0 && (
        <button
          type="button"
          className="button strong"
          aria-disabled={waits}
          onClick={() => {
            if (!waits) void trial.run()
          }}
        >
          Try {many(changes.length, 'change')}
        </button>
      )}
    </fieldset>
  )
}
