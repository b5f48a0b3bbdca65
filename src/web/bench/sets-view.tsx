import { useMemo } from 'react'
import type { BenchWorks } from './bench-works.ts'
import { useKept } from './kept.ts'
import { SetsAnswer } from './sets-answer.tsx'
import { FIRST_SETS, type SetsWords, setsOfWords } from './sets-question.ts'
import { ChosenWord, TypedWord } from './word.tsx'

/** Which finished leads belong together. */
export function SetsView({ bench }: { bench: BenchWorks }) {
  const { works } = bench
  const [kept, keep] = useKept('sets', FIRST_SETS)
  const tested = useMemo(() => [...new Set(works.leadTests.map((test) => test.cable))], [works])
  const words = tested.includes(kept.cable) ? kept : { ...kept, cable: tested[0] ?? '' }
  const outcome = useMemo(() => setsOfWords(bench, words), [bench, words])
  if (tested.length === 0)
    return (
      <p className="sentence">
        <strong>No finished lead is on record.</strong> Rows of lead_tests.csv appear here.
      </p>
    )
  const wrong = outcome.wrong ?? {}
  const typed = (name: 'size' | 'window' | 'freq', label: string) => (
    <TypedWord
      label={label}
      value={words[name]}
      wrong={wrong[name] ?? null}
      onValue={(value) => keep({ ...words, [name]: value })}
    />
  )
  return (
    <>
      <section className="stack" aria-labelledby="place-name">
        <p className="asked">
          How many sets of {typed('size', 'leads in a set')} leads of{' '}
          <ChosenWord
            label="cable type"
            value={words.cable}
            options={tested.map((cable): [string, string] => [cable, cable])}
            onValue={(cable) => keep({ ...words, cable })}
          />{' '}
          lie within {typed('window', 'largest difference within a set')}{' '}
          <ChosenWord
            label="matched by"
            value={words.by}
            options={[
              ['deg', 'degrees of phase'],
              ['ps', 'ps of delay'],
            ]}
            onValue={(by) => keep({ ...words, by: by as SetsWords['by'] })}
          />
          {words.by === 'deg' && <> at {typed('freq', 'frequency of the phase')}</>}?
        </p>
        <div role="status" className="stack close">
          {Object.values(wrong).map((text) => (
            <p key={text} className="wrong">
              {text}
            </p>
          ))}
        </div>
      </section>
      {outcome.sets && <SetsAnswer sets={outcome.sets} asked={outcome.asked} />}
    </>
  )
}
