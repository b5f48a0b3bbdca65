import type { CommandBody } from '../../../ledger/command.ts'
import { many, supplyM } from '../../format.ts'
import { useWorks } from '../../works-state.tsx'
import type { LineView } from './advance-view.ts'
import { HandButton } from './hand-button.tsx'

/** The answer in words where there is no cut in hand: what is to be done so that there is one. */
export function FloorSentence({ view, record }: NewerProps) {
  const { mounted, nextDrum, plan, cutsKnown } = view
  return (
    <section className="stack close">
      <p className="sentence wraps">
        {!cutsKnown ? (
          <>
            <strong>What is cut from {mounted?.drum ?? 'this drum'} is not known here</strong> until the
            server answers.
          </>
        ) : mounted ? (
          <>
            <strong>Nothing more is cut from {mounted.drum}.</strong> {supplyM(mounted.restUm)} is on it: put
            it away.
          </>
        ) : nextDrum ? (
          <>
            <strong>Scan {nextDrum.drum}.</strong> It comes on {view.line} next
            {nextDrum.place ? ` and lies at ${nextDrum.place}` : ''}: {nextDrum.cable}, lot {nextDrum.lot},{' '}
            {supplyM(nextDrum.restUm)}
            {nextDrum.outerMark ? `, mark ${nextDrum.outerMark} at the outer end` : ''}.
          </>
        ) : plan && view.moreAhead > 0 ? (
          <>
            <strong>The drums that this tablet knows of are done.</strong> What comes on {view.line} next it
            will know once the server answers.
          </>
        ) : plan ? (
          <>
            <strong>Nothing is to be run on {view.line}.</strong> Plan {plan.number} has no drum left for it.
          </>
        ) : (
          <>
            <strong>No plan is in force in the hall.</strong>{' '}
            {view.newerPlanId === null && <a href="/plan">Plan the works</a>}
          </>
        )}
      </p>
      <NewerPlan view={view} record={record} />
    </section>
  )
}

interface NewerProps {
  view: LineView
  record: (body: CommandBody, words: string) => Promise<boolean>
}

/** A plan that was made since: it rules the hall only once somebody says so. */
export function NewerPlan({ view, record }: NewerProps) {
  const { plan: planned } = useWorks()
  const { newerPlanId } = view
  if (newerPlanId === null || planned?.planId !== newerPlanId) return null
  const number = `P${String(newerPlanId).padStart(4, '0')}`
  const { worksVersion, plan } = planned
  return (
    <div className="row">
      <p className="grow wraps">
        Plan {number}, {many(plan.mountings.length, 'mounting')}, is ready and not in force yet.
      </p>
      <HandButton
        letter="V"
        onPress={() =>
          void record(
            // where its places lie on the strips the server knows
            { kind: 'release-plan', planId: newerPlanId, worksVersion, cause: 'planned', origins: [] },
            `work by plan ${number}`,
          )
        }
      >
        Work by plan {number}
      </HandButton>
    </div>
  )
}
