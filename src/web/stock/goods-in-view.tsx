import { type FormEvent, useEffect, useMemo, useRef, useState } from 'react'
import { useMe } from '../access/me-state.tsx'
import { BookingNote } from './booking-note.tsx'
import {
  emptyGoodsIn,
  GOODS_IN_STEPS,
  type GoodsInDraft,
  type GoodsInStep,
  wrongWith,
} from './goods-in-draft.ts'
import { GoodsInFields } from './goods-in-fields.tsx'
import { LengthQuestion } from './length-question.tsx'
import type { StockViewProps } from './stock-view.tsx'
import { useBook } from './use-book.ts'
import { useReceipt } from './use-receipt.ts'
import { useScan } from './use-scan.ts'

/** Kept beside the screen, so that going elsewhere and back loses nothing that was typed. */
let kept: { draft: GoodsInDraft; step: number } | null = null

/** A drum arrives: one question a step, booked at the end. */
export function GoodsInView({ input, stock, onBooked }: StockViewProps) {
  const [draft, setDraft] = useState<GoodsInDraft>(() => kept?.draft ?? emptyGoodsIn(input))
  const [step, setStep] = useState(kept?.step ?? 0)
  const [tried, setTried] = useState(false)
  const [last, setLast] = useState<string | null>(null)
  const head = useRef<HTMLHeadingElement>(null)
  const { whyNot } = useMe()
  const why = whyNot('receive-drum')
  const booking = useBook(onBooked)
  const known = useMemo(() => ({ drums: new Set(stock.drums.map((d) => d.drum)) }), [stock.drums])
  const { id, question } = GOODS_IN_STEPS[step] ?? GOODS_IN_STEPS[0]
  const ready = useReceipt(draft, input)
  const wrong = [...wrongWith(id, draft, known), ...(id === 'length' ? ready.wrong : [])]
  useEffect(() => {
    kept = { draft, step }
  }, [draft, step])

  const goTo = (next: number) => {
    setTried(false)
    setStep(next)
    requestAnimationFrame(() => head.current?.focus())
  }
  const change = (part: Partial<GoodsInDraft>) => setDraft((before) => ({ ...before, ...part }))

  async function submit(event: FormEvent) {
    event.preventDefault()
    setTried(true)
    if (wrong.length > 0) return
    if (step < GOODS_IN_STEPS.length - 1) return goTo(step + 1)
    if (!ready.command || why) return
    const { drum } = draft
    const status = draft.status === 'free' ? 'free to be cut' : 'held'
    if (!(await booking.book([ready.command], `${drum} is in the store, ${status}.`))) return
    setLast(drum)
    setDraft(emptyGoodsIn(input))
    goTo(0)
  }

  function scanned(code: string) {
    if (id === 'drum') {
      change({ drum: code })
      if (wrongWith('drum', { ...draft, drum: code }, known).length === 0) goTo(1)
    } else if (id === 'cable') change({ lot: code })
    else if (id === 'place') change({ place: code })
  }

  useScan(scanned)

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
          {tried &&
            wrong.map((text) => (
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
