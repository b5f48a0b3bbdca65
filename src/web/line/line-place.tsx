import type { PlanInput } from '../../plan/plan-input.ts'
import type { WorksSummary } from '../../works/api.ts'
import { Refusal } from '../parts/refusal.tsx'
import { PatternTiles } from '../parts/shape-svg.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { useWorks } from '../works-state.tsx'
import { CounterView } from './counter-view.tsx'
import { FloorPlace } from './floor/floor-place.tsx'
import { useRecordedLines } from './line-records.ts'
import { LineViews, useLineAddress } from './line-view.tsx'
import { MountingView } from './mounting-view.tsx'
import { RunView } from './run-view.tsx'

const QUESTIONS = {
  now: 'what is cut now, and what next?',
  mounting: 'how is this mounting run?',
  counter: 'can the counter be believed?',
  run: 'what happened on this run?',
}

/** The rewinding lines: how they are set, what their counters are worth, what they did. */
export function LinePlace({ input, works }: { input: PlanInput | null; works: WorksSummary | null }) {
  const { view } = useLineAddress()
  return (
    <>
      <PatternTiles />
      <div className="stack">
        <h1 className="place-name" id="place-name">
          Line: {QUESTIONS[view]}
        </h1>
        <LineViews view={view} />
      </div>
      {/* the tablet at the line goes on without the works when the server is away */}
      {view === 'now' ? <FloorPlace /> : input && works && <Recorded input={input} works={works} />}
    </>
  )
}

function Recorded({ input, works }: { input: PlanInput; works: WorksSummary }) {
  const { view, mounting } = useLineAddress()
  const { plan, planned } = useWorks()
  const onPlan = view === 'mounting'
  const { lines: latest, error } = useRecordedLines(
    onPlan ? (planned?.input ?? null) : input,
    onPlan ? (plan?.worksVersion ?? null) : works.version,
  )
  // a plan is only ever set by the works that it was made for
  const lines = onPlan && latest?.version !== plan?.worksVersion ? null : latest
  const waits = !lines && !error && !(onPlan && !plan)
  return (
    <>
      {error && <Refusal error={error} />}
      {waits && <Skeleton />}
      {onPlan && !plan && (
        <p className="sentence">
          <strong>No plan yet.</strong> A mounting is set once it is planned what is cut from it:{' '}
          <a href="/plan">plan the works</a>.
        </p>
      )}
      {onPlan && plan && planned && lines && (
        <MountingView key={plan.planId} answer={plan} lines={lines} wanted={mounting} />
      )}
      {view === 'counter' && lines && <CounterView lines={lines} />}
      {view === 'run' && lines && <RunView lines={lines} />}
    </>
  )
}
