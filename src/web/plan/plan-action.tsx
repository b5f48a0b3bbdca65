import { useEffect, useRef, useState } from 'react'
import type { PlanProgress } from '../../works/api.ts'
import { Allowed } from '../access/allowed.tsx'
import { eur, secondsOf } from '../format.ts'
import { useWorks } from '../works-state.tsx'

const PHASES: Record<NonNullable<PlanProgress['phase']>, string> = {
  'first plan': 'Looking for a first plan',
  bound: 'Proving how good a plan can be',
  improving: 'Improving the plan',
  done: 'Checking and keeping the plan',
}

/** The one main action, and how it gets on. */
export function PlanAction() {
  const { progress, startPlan, stopPlan, gone } = useWorks()
  const running = progress?.state === 'running' || progress?.state === 'stopping'
  const [pressed, setPressed] = useState(false)
  return (
    <div className="plan-action">
      <Allowed deed="plan">
        <div className="row">
          <button
            type="button"
            className="main-action"
            // not disabled: the focus would be lost in mid-plan
            aria-disabled={running || gone || pressed}
            onClick={async () => {
              if (running || gone || pressed) return
              setPressed(true)
              await startPlan()
              setPressed(false)
            }}
          >
            {running ? 'Planning …' : 'Plan the works'}
          </button>
          {running && (
            <button
              type="button"
              className="button"
              aria-disabled={progress.state === 'stopping'}
              onClick={() => void stopPlan()}
            >
              {progress.state === 'stopping' ? 'Stopping …' : 'Stop with the best so far'}
            </button>
          )}
        </div>
      </Allowed>
      {running && <Running progress={progress} />}
      <Spoken progress={progress} />
    </div>
  )
}

function Running({ progress }: { progress: PlanProgress }) {
  const { seconds, phase } = progress
  const elapsedMs = Math.min(useElapsed(progress.elapsedMs), seconds * 1000)
  const service = progress.unservedEur
  return (
    <div className="running">
      <p>
        {PHASES[phase ?? 'first plan']}: {secondsOf(elapsedMs)} of at most {seconds} s
      </p>
      <progress max={seconds * 1000} value={elapsedMs} aria-label="Time used" />
      <dl className="facts">
        <dt>Best so far costs</dt>
        <dd>{progress.costEur === null ? '–' : eur(progress.costEur)}</dd>
        <dt>Any plan must cost</dt>
        <dd>{progress.boundCostEur === null ? 'not known yet' : `at least ${eur(progress.boundCostEur)}`}</dd>
        <dt>Not served, weighted by due date</dt>
        <dd>
          {service === null ? '–' : eur(service)}
          {progress.boundUnservedEur !== null && ` (least possible ${eur(progress.boundUnservedEur)})`}
        </dd>
      </dl>
    </div>
  )
}

const TICK_MS = 200

/** Time goes on between two messages of the planner as well. */
function useElapsed(heardMs: number): number {
  const [elapsedMs, setElapsedMs] = useState(heardMs)
  useEffect(() => {
    const startMs = performance.now() - heardMs
    setElapsedMs(heardMs)
    const timer = setInterval(() => setElapsedMs(performance.now() - startMs), TICK_MS)
    return () => clearInterval(timer)
  }, [heardMs])
  return elapsedMs
}

const SAY_EVERY_MS = 3000

/** The same for the ear, at most every three seconds, politely. */
function Spoken({ progress }: { progress: PlanProgress | null }) {
  const [said, setSaid] = useState('')
  const last = useRef({ atMs: 0, state: '' })
  useEffect(() => {
    if (!progress) return
    const { state } = progress
    const started = last.current.state === 'running' || last.current.state === 'stopping'
    if (state === 'running' && (!started || progress.elapsedMs - last.current.atMs > SAY_EVERY_MS)) {
      last.current = { atMs: progress.elapsedMs, state }
      const cost = progress.costEur === null ? '' : `, best so far ${eur(progress.costEur)}`
      setSaid(
        `${PHASES[progress.phase ?? 'first plan']}, ${Math.round(progress.elapsedMs / 1000)} seconds${cost}`,
      )
    } else if (state === 'done' && started) setSaid('The plan is ready.')
    else if (state === 'failed' && started) setSaid('Planning failed.')
    last.current.state = state
  }, [progress])
  return (
    <p className="spoken" role="status">
      {said}
    </p>
  )
}
