import { BookingNote } from './booking-note.tsx'
import { GOODS_IN_STEPS, type GoodsInStep } from './goods-in-draft.ts'
import { GoodsInFields } from './goods-in-fields.tsx'
import { LengthQuestion } from './length-question.tsx'
import type { StockViewProps } from './stock-view.tsx'
import { useGoodsIn } from './use-goods-in.ts'

/** A drum arrives: one question a step, booked at the end. */
export function GoodsInView(props: StockViewProps) {
  const { input, stock } = props
  const { draft, change, step, id, question, goTo, head, submit, ...rest } = useGoodsIn(props)
  const { ready, wrong, why, booking, last } = rest
  return (
    <>
      <p className="sentence">
        <strong>
          {draft.drum === '' ? 'A drum' : draft.drum}: question {step + 1} of {GOODS_IN_STEPS.length}.
        </strong>{' '}
        Scan its number, its lot and its place where they are asked for; the rest is typed.
      </p>
      <Arrived last={last} />
      <BookingNote {...booking} />
      <StepList step={step} onStep={(next) => next < step && goTo(next)} />
      <section className="stack goods-in" aria-labelledby="goods-in-question">
        <h2 id="goods-in-question" ref={head} tabIndex={-1}>
          {question}
        </h2>
        <form className="stack" onSubmit={(event) => void submit(event)}>
          {id === 'length' ? (
            <LengthQuestion draft={draft} ready={ready} onChange={change} />
          ) : (
            <GoodsInFields step={id} draft={draft} input={input} stock={stock} onChange={change} />
          )}
          {wrong.map((text) => (
            <p className="wrong wraps" role="alert" key={text}>
              {text}
            </p>
          ))}
          {why && <p className="small why-not">{why}</p>}
          <div className="row">
            {step > 0 && (
              <button type="button" className="button" onClick={() => goTo(step - 1)}>
                Back
              </button>
            )}
            <button type="submit" className="main-action" aria-disabled={booking.busy}>
              {step === GOODS_IN_STEPS.length - 1 ? `Book ${draft.drum} in` : 'Next'}
            </button>
          </div>
        </form>
      </section>
    </>
  )
}

function Arrived({ last }: { last: string | null }) {
  if (last === null) return null
  return (
    <p className="banner good">
      <strong>{last} is booked.</strong>{' '}
      <a href={`/api/stock/drums/${encodeURIComponent(last)}/label.pdf`} target="_blank" rel="noreferrer">
        Print the label of {last} (PDF)
      </a>
      , stick it on, then take the next drum.
    </p>
  )
}

const SHORT: Record<GoodsInStep, string> = {
  ...{ drum: 'Drum', cable: 'Cable', weight: 'Weight', marks: 'Marks', faults: 'Faults', length: 'Length' },
  place: 'Place',
}

function StepList({ step, onStep }: { step: number; onStep: (step: number) => void }) {
  return (
    <ol className="row step-row" aria-label="Questions">
      {GOODS_IN_STEPS.map(({ id }, i) => (
        <li key={id} aria-current={i === step ? 'step' : undefined}>
          {i < step ? (
            <button type="button" className="link-button" onClick={() => onStep(i)}>
              {i + 1} {SHORT[id]} ✓
            </button>
          ) : (
            <span className={i === step ? '' : 'quiet'}>
              {i + 1} {SHORT[id]}
            </span>
          )}
        </li>
      ))}
    </ol>
  )
}
