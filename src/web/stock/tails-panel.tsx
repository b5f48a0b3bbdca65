import { useState } from 'react'
import type { TailsAnswer } from '../../works/stock-api.ts'
import { useMe } from '../access/me-state.tsx'
import { postJson } from '../api.ts'
import { eurOfMicro, lengthM, many } from '../format.ts'
import { Refusal } from '../parts/refusal.tsx'

interface State {
  busy: boolean
  answer: TailsAnswer | null
  error: Error | null
  taken: boolean
}

const NOTHING: State = { busy: false, answer: null, error: null, taken: false }

type Proposal = NonNullable<TailsAnswer['proposal']>

/** Asks for a proposal and takes it; one question at a time. */
function useTails(onTaken: () => Promise<void>, why: string | null) {
  const [state, setState] = useState<State>(NOTHING)
  const { busy, answer } = state

  async function asked(work: () => Promise<Partial<State>>) {
    if (busy || why !== null) return
    setState({ ...NOTHING, busy: true, answer })
    try {
      const found = await work()
      setState({ ...NOTHING, ...found })
    } catch (failure) {
      setState({ ...NOTHING, error: failure as Error })
    }
  }
  const propose = () => asked(async () => ({ answer: await postJson<TailsAnswer>('/api/stock/tails', {}) }))
  const take = (token: string) =>
    asked(async () => {
      await postJson('/api/stock/tails/take', { token })
      await onTaken()
      return { taken: true }
    })
  return { ...state, propose, take }
}

/** Tails of the plan as standard coils, where a minimum level is short and it pays: asked for, shown with its money, taken. */
export function TailsPanel({ onTaken }: { onTaken: () => Promise<void> }) {
  const { whyNot } = useMe()
  const why = whyNot('plan')
  const { busy, answer, error, taken, propose, take } = useTails(onTaken, why)
  const proposal = answer?.proposal ?? null
  return (
    <section className="stack" aria-labelledby="tails-head">
      <div className="row">
        <h2 id="tails-head" className="grow">
          Coils for the shelf from what is left over
        </h2>
        <button
          type="button"
          className="button"
          aria-disabled={busy || why !== null}
          onClick={() => void propose()}
        >
          Look for coils that pay
        </button>
      </div>
      {why && <p className="small why-not">{why}</p>}
      <p role="status" className={busy || taken || answer ? 'wraps' : 'spoken'}>
        {busy && 'Looking …'}
        {taken && <strong>✓ Taken: the plan cuts the coils, and order STOCK holds them.</strong>}
        {!busy && answer && !proposal && answer.why}
        {!busy && proposal && <ProposalWords proposal={proposal} />}
      </p>
      {proposal && (
        <>
          <ProposedCuts cuts={proposal.cuts} />
          <div className="row">
            <button
              type="button"
              className="button strong"
              aria-disabled={busy}
              onClick={() => void take(proposal.token)}
            >
              Take the plan with them
            </button>
          </div>
        </>
      )}
      {error && <Refusal error={error} />}
    </section>
  )
}

function ProposalWords({ proposal }: { proposal: Proposal }) {
  return (
    <>
      <strong>
        {many(
          proposal.cuts.reduce((n, c) => n + c.pieces, 0),
          'coil',
        )}{' '}
        that lack on the shelf would save {eurOfMicro(proposal.gainMicro)}.
      </strong>{' '}
      The plan costs {eurOfMicro(proposal.costBeforeMicro)} without and {eurOfMicro(proposal.costAfterMicro)}{' '}
      with them; their put-ups, labels and minutes cost {eurOfMicro(proposal.handlingMicro)}. Nothing for
      customers moves.
    </>
  )
}

function ProposedCuts({ cuts }: { cuts: Proposal['cuts'] }) {
  return (
    <ul className="plain-list">
      {cuts.map((cut) => (
        <li key={`${cut.mounting} ${cut.putup} ${cut.lengthUm}`} className="wraps">
          Mounting {cut.mounting}, <strong>{cut.drum}</strong>: {cut.pieces} × {lengthM(cut.lengthUm)} of{' '}
          {cut.cable} on {cut.putup}
        </li>
      ))}
    </ul>
  )
}
