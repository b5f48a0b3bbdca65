import { useMemo, useState } from 'react'
import { planWarnings } from '../../dispatch/plan-warnings.ts'
import { tellsOfCost } from '../../plan/plan.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import type { UsableDrum } from '../../strip/usable.ts'
import type { PlanAnswer } from '../../works/api.ts'
import { orderAnswers } from '../orders/order-answer.ts'
import { Refusal } from '../parts/refusal.tsx'
import { PatternTiles } from '../parts/shape-svg.tsx'
import { ShelfBeforePlan } from '../stock/shelf-before-plan.tsx'
import { TailsPanel } from '../stock/tails-panel.tsx'
import { useWorks } from '../works-state.tsx'
import { BoundBar } from './bound-bar.tsx'
import type { Choice } from './choice.ts'
import { CostTable } from './cost-table.tsx'
import { CutActions } from './cut-actions.tsx'
import { MountingList } from './mounting-list.tsx'
import { Papers } from './papers.tsx'
import { PlanAction } from './plan-action.tsx'
import { PlanLines } from './plan-lines.tsx'
import { PlanSentence } from './plan-sentence.tsx'
import { PlanState } from './plan-state.tsx'
import { useTrial } from './trial.ts'
import { TryPanel } from './try-panel.tsx'
import { UnservedList } from './unserved-list.tsx'

/** What do we cut, and how good is it? */
export function PlanPlace({ input }: { input: PlanInput }) {
  const { works, plan, planned, planError, progress } = useWorks()
  // a first plan may be shown before anything is proven of it
  const boundKnown = !(
    progress?.state === 'running' &&
    progress.planId === plan?.planId &&
    progress.boundCostEur === null
  )
  return (
    <>
      <PatternTiles />
      <section className="stack" aria-labelledby="place-name">
        <h1 className="place-name" id="place-name">
          Plan: what do we cut, and how good is it?
        </h1>
        <PlanSentence input={planned?.input ?? input} answer={plan} boundKnown={boundKnown} />
        <PlanAction />
        {planError && <Refusal error={planError} />}
        <PlanState />
      </section>
      {works && <ShelfBeforePlan version={works.version} />}
      {plan && planned && (
        <PlanResult input={planned.input} usable={planned.usable} answer={plan} boundKnown={boundKnown} />
      )}
    </>
  )
}

interface Result {
  input: PlanInput
  usable: UsableDrum[]
  answer: PlanAnswer
  boundKnown: boolean
}

function PlanResult({ input, usable, answer, boundKnown }: Result) {
  const [choice, setChoice] = useState<Choice | null>(null)
  const trial = useTrial()
  const { refresh } = useWorks()
  const answers = useMemo(
    () => orderAnswers(input.orders, answer.plan, usable),
    [input.orders, answer.plan, usable],
  )
  return (
    <>
      <div className="money">
        <BoundBar plan={answer.plan} known={boundKnown && tellsOfCost(answer.plan)} />
        <CostTable plan={answer.plan} />
      </div>
      <PlanWarnings input={input} answer={answer} />
      <UnservedList input={input} plan={answer.plan} />
      <Papers />
      {!answer.stale && <TailsPanel onTaken={refresh} />}
      {!answer.stale && <TryPanel input={input} usable={usable} plan={answer.plan} trial={trial} />}
      <div className="plan-body">
        <MountingList
          input={input}
          plan={answer.plan}
          choice={choice}
          onChoose={setChoice}
          actions={(cut) => !answer.stale && <CutActions plan={answer.plan} cut={cut} trial={trial} />}
        />
        <PlanLines input={input} answers={answers} choice={choice} onChoose={setChoice} />
      </div>
    </>
  )
}

/** What is doubtful about the plan as a whole, said before it is cut. */
function PlanWarnings({ input, answer }: { input: PlanInput; answer: PlanAnswer }) {
  const warnings = useMemo(() => planWarnings(input, answer.plan), [input, answer.plan])
  return warnings.map((text) => (
    <p className="banner" role="note" key={text}>
      <strong>Counter:</strong> {text}
    </p>
  ))
}
