import type { PlanInput } from '../../plan/plan-input.ts'
import { PatternTiles } from '../parts/shape-svg.tsx'
import { BalanceView } from './balance-view.tsx'
import { ComplaintsView } from './complaints-view.tsx'
import { DueView } from './due-view.tsx'
import { FollowView } from './follow-view.tsx'
import { RecallView } from './recall-view.tsx'
import { RecordsViews, useRecordsAddress } from './records-view.tsx'
import { WaitingView } from './waiting-view.tsx'

const QUESTIONS = {
  follow: 'what happened to this piece?',
  recall: 'what did this touch, and where is it now?',
  balance: 'where did the metres go?',
  due: 'what must be checked?',
  complaints: 'were we short?',
  waiting: 'which records need a person?',
}

/** What really happened, forwards and backwards. */
export function RecordsPlace({ input }: { input: PlanInput }) {
  const { view, rest } = useRecordsAddress()
  return (
    <>
      <PatternTiles />
      <div className="stack">
        <h1 className="place-name" id="place-name">
          Records: {QUESTIONS[view]}
        </h1>
        <RecordsViews view={view} />
      </div>
      {view === 'follow' && <FollowView id={rest[0] ?? null} />}
      {view === 'recall' && <RecallView asked={rest} />}
      {view === 'balance' && <BalanceView month={rest[0] ?? null} />}
      {view === 'due' && <DueView input={input} />}
      {view === 'complaints' && <ComplaintsView serial={rest[0] ?? null} />}
      {view === 'waiting' && <WaitingView />}
    </>
  )
}
