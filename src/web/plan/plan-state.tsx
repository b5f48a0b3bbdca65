import { count } from '../format.ts'
import { instant } from '../works-clock.ts'
import { useWorks } from '../works-state.tsx'

/** What a reader of the plan must know about it: overtaken, stopped, failed. */
export function PlanState() {
  const { plan, progress } = useWorks()
  const running = progress?.state === 'running' || progress?.state === 'stopping'
  const mayServeMore = plan && plan.plan.unservedMicro > plan.plan.bound.unservedMicro
  return (
    <>
      {progress?.state === 'failed' && (
        <p className="banner bad" role="alert">
          <strong>Planning failed.</strong> {progress.message} Plan again; if it fails again, keep the works
          folder and report it.
        </p>
      )}
      {plan?.inForce && plan.stale && !running && (
        <p className="banner">
          <strong>The hall works by this plan.</strong> Below it stands as it was released; what was cut since
          is on the Line. Plan again to see what can be done with what is left.
        </p>
      )}
      {plan?.stale && !plan.inForce && !running && (
        <p className="banner">
          <strong>The works has changed since this plan was made.</strong> What you see is the plan for the
          works as it was then. Plan again before anything is cut by it.
        </p>
      )}
      {plan?.plan.stopped && !running && (
        <p className="banner">
          <strong>Stopped.</strong> This is the best plan found until then. It is checked and can be cut by; a
          longer search may find one that {mayServeMore ? 'serves more, or costs less' : 'costs less'}.
        </p>
      )}
      {progress?.state === 'idle' && progress.message && <p className="banner">{progress.message}</p>}
      {plan && (
        <p className="small quiet">
          {running && plan.planId === progress.planId ? 'Below: the best plan so far. ' : ''}Plan{' '}
          {count(plan.planId)}, made {instant(plan.madeAt)}.
        </p>
      )}
    </>
  )
}
