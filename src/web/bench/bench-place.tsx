import type { PlanInput } from '../../plan/plan-input.ts'
import type { WorksSummary } from '../../works/api.ts'
import { Refusal } from '../parts/refusal.tsx'
import { PatternTiles } from '../parts/shape-svg.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { BenchViews, useBenchView } from './bench-view.tsx'
import { useBenchWorks } from './bench-works.ts'
import { JudgeView } from './judge-view.tsx'
import { LossView } from './loss-view.tsx'
import { SetsView } from './sets-view.tsx'
import { TodayView } from './today-view.tsx'

const QUESTIONS = {
  today: 'which leads are due, and how is the next one made?',
  loss: 'what does this length of cable lose?',
  judge: 'does this measured lead pass?',
  sets: 'which finished leads belong together?',
}

/** Leads: made, measured, matched. */
export function BenchPlace({ input, works }: { input: PlanInput; works: WorksSummary }) {
  const view = useBenchView()
  const { bench, error } = useBenchWorks(input, works.version)
  return (
    <>
      <PatternTiles />
      <div className="stack">
        <h1 className="place-name" id="place-name">
          Bench: {QUESTIONS[view]}
        </h1>
        <BenchViews view={view} />
      </div>
      {error && <Refusal error={error} />}
      {!bench && !error && <Skeleton />}
      {bench && view === 'today' && <TodayView bench={bench} />}
      {bench && view === 'loss' && <LossView bench={bench} />}
      {bench && view === 'judge' && <JudgeView bench={bench} />}
      {bench && view === 'sets' && <SetsView bench={bench} />}
    </>
  )
}
