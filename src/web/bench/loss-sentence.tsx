import type { BenchWorks } from './bench-works.ts'
import { type LossOutcome, type LossWords, ofCable } from './loss-question.ts'
import { ChosenWord, TypedWord } from './word.tsx'

interface Props {
  bench: BenchWorks
  words: LossWords
  wrong: NonNullable<LossOutcome['wrong']>
  onWords: (words: LossWords) => void
}

/** The question as one sentence; each underlined word can be changed where it stands. */
export function LossSentence({ bench, words, wrong, onWords }: Props) {
  const { cables, connectors } = bench.works
  const typed = (name: 'length' | 'freq' | 'temp' | 'vswr', label: string) => (
    <TypedWord
      label={label}
      value={words[name]}
      wrong={wrong[name] ?? null}
      onValue={(value) => onWords({ ...words, [name]: value })}
    />
  )
  const fitting: [string, string][] = [
    ['', 'no connector'],
    ...connectors.filter((c) => c.cable === words.cable).map((c): [string, string] => [c.part, c.part]),
  ]
  const end = (name: 'a' | 'b', label: string) => (
    <ChosenWord
      label={label}
      value={words[name]}
      options={fitting}
      onValue={(value) => onWords({ ...words, [name]: value })}
    />
  )
  return (
    <p className="asked">
      What do {typed('length', 'length of the cable')} of{' '}
      <ChosenWord
        label="cable type"
        value={words.cable}
        options={cables.map((c): [string, string] => [c.cable, c.cable])}
        onValue={(cable) => onWords(ofCable(bench, words, cable))}
      />{' '}
      lose at {typed('freq', 'frequency')} and {typed('temp', 'temperature')}, with{' '}
      {end('a', 'connector at end A')} at end A and {end('b', 'connector at end B')} at end B, into a load of
      VSWR {typed('vswr', 'standing-wave ratio of the load')}?
    </p>
  )
}
