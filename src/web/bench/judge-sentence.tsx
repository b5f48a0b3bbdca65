import { useId } from 'react'
import type { BenchWorks } from './bench-works.ts'
import type { JudgeWords } from './judge-question.ts'
import { ChosenWord, TypedWord } from './word.tsx'

interface Props {
  bench: BenchWorks
  words: JudgeWords
  onWords: (words: JudgeWords) => void
}

/** What the file is judged as; each underlined word can be changed where it stands. */
export function JudgeSentence({ bench: { works, answer }, words, onWords }: Props) {
  const list = useId()
  const instruments: [string, string][] = [
    ['', 'an instrument not named'],
    ...(answer.more.instruments ?? []).map(({ instrument, what }): [string, string] => [
      instrument,
      what === null ? instrument : `${instrument}, ${what}`,
    ]),
  ]
  const lines = works.orders.filter((o) => o.kind === 'lead').map((o) => `${o.order}/${o.line}`)
  return (
    <div className="stack close">
      <p className="asked">
        Does <span className="wraps">{words.file?.name}</span> show that lead{' '}
        <TypedWord
          label="the lead: serial, order line, or cable, length and connectors"
          value={words.lead}
          list={list}
          wrong={null}
          onValue={(lead) => onWords({ ...words, lead })}
        />{' '}
        is as it must be, measured with{' '}
        <ChosenWord
          label="instrument"
          value={words.instrument}
          options={instruments}
          onValue={(instrument) => onWords({ ...words, instrument })}
        />{' '}
        at{' '}
        <TypedWord
          label="temperature in °C; empty: as recorded, else 20 °C"
          value={words.temp}
          placeholder="as recorded"
          wrong={null}
          onValue={(temp) => onWords({ ...words, temp })}
        />
        ?
      </p>
      <p className="small quiet">
        A lead is named by its serial, its order line such as {lines[0] ?? '7119/1'}, or by cable, length tip
        to tip and connectors such as {exampleOf(works)}.
      </p>
      <datalist id={list}>
        {[...works.leadTests.map((t) => t.serial), ...lines].map((name) => (
          <option key={name} value={name} />
        ))}
      </datalist>
    </div>
  )
}

function exampleOf(works: BenchWorks['works']): string {
  const connector = works.connectors[0]
  return connector
    ? `${connector.cable},3m,${connector.part},${connector.part}`
    : 'cable,3m,connector,connector'
}
