import { useEffect, useRef, useState } from 'react'
import type { Plan } from '../../plan/plan.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import type { UsableDrum } from '../../strip/usable.ts'
import { Allowed } from '../access/allowed.tsx'
import { many } from '../format.ts'
import { ChoiceField } from '../parts/choice-field.tsx'
import { Refusal } from '../parts/refusal.tsx'
import { AddOrderForm } from './add-order-form.tsx'
import { tryText } from './change-text.ts'
import type { Trial } from './trial.ts'
import { TryResult } from './try-result.tsx'
import { WhyAnswers } from './why-answers.tsx'

interface Props {
  input: PlanInput
  usable: UsableDrum[]
  plan: Plan
  trial: Trial
}

/** What if: changes are gathered, tried on the plan, and both plans stand side by side. */
export function TryPanel({ input, usable, plan, trial }: Props) {
  const { changes, busy, error, answer, explanation, said } = trial
  const head = useRef<HTMLHeadingElement>(null)
  const shown = answer !== null || explanation !== null
  const was = useRef(false)
  useEffect(() => {
    // the button that put the answer away is gone with it; the focus must not be
    if (was.current && !shown) head.current?.focus()
    was.current = shown
  }, [shown])
  return (
    <section className="stack close try-panel" aria-labelledby="try-head">
      <h2 id="try-head" tabIndex={-1} ref={head}>
        Try a change
      </h2>
      <p className="small quiet">
        Choose a cut in a drawing below to hold it or forbid it. Nothing is changed until you take a plan.
      </p>
      <Allowed deed="plan">
        <div className="row">
          <LeaveOut input={input} plan={plan} trial={trial} />
          <AddOrderForm input={input} trial={trial} />
        </div>
        {changes.length > 0 && (
          <>
            <ol className="try-list" aria-label="Changes to try">
              {changes.map((change, i) => (
                <li key={JSON.stringify(change)}>
                  <span className="wraps">{tryText(change, plan)}</span>{' '}
                  <button type="button" className="link-button" onClick={() => trial.remove(i)}>
                    Take out<span className="spoken"> of the list: {tryText(change, plan)}</span>
                  </button>
                </li>
              ))}
            </ol>
            <div className="row">
              <button
                type="button"
                className="button strong"
                aria-disabled={busy !== null}
                onClick={() => {
                  if (busy === null) void trial.run()
                }}
              >
                {busy === 'trying' ? 'Planning both ways …' : `Try ${many(changes.length, 'change')}`}
              </button>
            </div>
          </>
        )}
      </Allowed>
      {busy === 'asking' && <p>Planning again, with and without, to find out …</p>}
      {error && <Refusal error={error} />}
      {answer && <TryResult input={input} usable={usable} plan={plan} answer={answer} trial={trial} />}
      {explanation && <WhyAnswers explanation={explanation} onClose={trial.putAway} />}
      <p className="spoken" role="status">
        {said}
      </p>
    </section>
  )
}

function LeaveOut({ input, plan, trial }: { input: PlanInput; plan: Plan; trial: Trial }) {
  const [drum, setDrum] = useState('')
  const mounted = new Set(plan.mountings.map((m) => m.drum))
  const options = input.drums
    .filter((d) => mounted.has(d.drum))
    .map((d): [string, string] => [d.drum, `${d.drum} · ${d.cable}`])
  return (
    <form
      className="row"
      onSubmit={(event) => {
        event.preventDefault()
        if (drum) trial.add({ kind: 'exclude', drum })
      }}
    >
      <ChoiceField
        label="Leave a drum out"
        value={drum}
        any="Choose a drum"
        options={options}
        onValue={setDrum}
      />
      <button type="submit" className="button low" aria-disabled={drum === ''}>
        Leave it out
      </button>
    </form>
  )
}
