import { useMemo, useRef } from 'react'
import { chainDrawing } from '../../drawing/chain-drawing.ts'
import { fitSentence, lossChart } from '../../drawing/chart-loss.ts'
import { figureText } from '../../quantity/length-text.ts'
import { TEXT_SIZE_PX } from '../parts/drawing-size.ts'
import { Figure } from '../parts/figure.tsx'
import { Near } from '../parts/near.tsx'
import type { BenchWorks } from './bench-works.ts'
import { useKept } from './kept.ts'
import { LossFacts } from './loss-facts.tsx'
import { type AnsweredLoss, FIRST_WORDS, lossOfWords, ofCable } from './loss-question.ts'
import { LossSentence } from './loss-sentence.tsx'

/** Loss of a length of cable with its connectors: the sentence is the question, the answer follows each letter. */
export function LossView({ bench }: { bench: BenchWorks }) {
  const [kept, keep] = useKept('loss', FIRST_WORDS)
  const { cables } = bench.works
  // a cable of another works is no cable of this one
  const known = cables.some((c) => c.cable === kept.cable)
  const words = known ? kept : ofCable(bench, kept, cables[0]?.cable ?? '')
  const outcome = useMemo(() => lossOfWords(bench, words), [bench, words])
  const last = useRef<AnsweredLoss | null>(null)
  if (outcome.answered) last.current = outcome.answered
  const shown = outcome.answered ?? last.current
  const wrong = Object.values(outcome.wrong ?? {})
  if (cables.length === 0) return <p className="sentence">This works has no cable types.</p>
  return (
    <>
      <section className="stack" aria-labelledby="place-name">
        <LossSentence
          bench={bench}
          words={words}
          wrong={outcome.wrong ?? {}}
          onWords={(next) => keep(next)}
        />
        <div role="status" className="stack close">
          {wrong.map((text) => (
            <p key={text} className="wrong">
              {text}
            </p>
          ))}
          {shown && <Answer shown={shown} stale={!outcome.answered} />}
        </div>
      </section>
      {shown && <Pictures shown={shown} />}
      {shown && <LossFacts {...shown} />}
    </>
  )
}

function Answer({ shown: { chain, load, loss }, stale }: { shown: AnsweredLoss; stale: boolean }) {
  const share = 100 * 10 ** (-loss.totalLossDb / 10)
  const word = stale ? `Still for ${figureText(chain.lengthM)} m at ${figureText(load.fMhz, 3)} MHz: ` : ''
  return (
    <p className={stale ? 'sentence quiet' : 'sentence'}>
      {word}
      <strong>{loss.totalLossDb.toFixed(2)} dB is lost</strong>: {figureText(share, share < 10 ? 2 : 0)} % of
      the power arrives at the load.{' '}
      {load.vswr > 1 && `Matched it would be ${loss.matchedLossDb.toFixed(2)} dB. `}
      {loss.powerLimitW === null
        ? 'How much power it carries is not recorded.'
        : `It carries at most ${figureText(Math.floor(loss.powerLimitW), 0)} W, limited by ${loss.limitedBy}.`}
    </p>
  )
}

const CHART_PX = 360

function Pictures({ shown }: { shown: AnsweredLoss }) {
  const { chain, load, loss } = shown
  return (
    <section className="stack" aria-labelledby="chain-head">
      <h2 id="chain-head">The chain, to scale</h2>
      <Near heightPx={150}>
        {(width) => (
          <Figure
            drawing={chainDrawing(chain, load, loss, { width: Math.max(480, width), textSize: TEXT_SIZE_PX })}
          />
        )}
      </Near>
      <h2>Over frequency, up to {figureText(Math.floor(loss.validToMhz), 0)} MHz and no further</h2>
      <p>
        {fitSentence(chain)} The figures end at the {loss.validToEndedBy}.
      </p>
      <Near heightPx={CHART_PX}>
        {(width) => (
          <Figure
            drawing={lossChart(chain, load, loss, {
              ...{ width: Math.max(480, width), height: CHART_PX, textSize: TEXT_SIZE_PX },
            })}
            told
          />
        )}
      </Near>
    </section>
  )
}
