import { useState } from 'react'
import type { RecallAnswer } from '../../works/records-api.ts'
import { Refusal } from '../parts/refusal.tsx'
import { SelectField } from '../parts/select-field.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { TextField } from '../parts/text-field.tsx'
import { useAnswer } from '../use-answer.ts'
import { RecallList } from './recall-list.tsx'
import { goToRecord } from './records-view.tsx'

type By = 'strip' | 'marks' | 'lot' | 'fault' | 'check' | 'tool'

const WAYS: readonly (readonly [By, string])[] = [
  ['strip', 'a stretch of a strip, in metres'],
  ['marks', 'a stretch of a strip, by its marks'],
  ['lot', 'a lot'],
  ['fault', 'a fault'],
  ['check', 'a check that failed'],
  ['tool', 'a tool, instrument or line'],
]

const NAMES: Record<By, string> = {
  strip: 'Strip',
  marks: 'Strip',
  lot: 'Lot',
  fault: 'Fault, such as F-000012',
  check: 'Check, such as CK-000007',
  tool: 'Tool, instrument or line',
}

const isStrip = (by: By) => by === 'strip' || by === 'marks'

/** "#recall/strip/D012/340/352" and the like, as a query; null where nothing is asked yet. */
function queryOf([way, id, from, to]: string[]): string | null {
  const by = WAYS.find(([name]) => name === way)?.[0]
  if (!by || !id) return null
  const query = new URLSearchParams({ [by === 'marks' ? 'strip' : by]: id })
  if (from && to) {
    query.set('from', from)
    query.set('to', to)
  }
  if (by === 'marks') query.set('unit', 'mark')
  return query.toString()
}

/** From something bad to every piece that it touched. */
export function RecallView({ asked }: { asked: string[] }) {
  const query = queryOf(asked)
  const { answer, error } = useAnswer<RecallAnswer>(query && `/api/records/recall?${query}`)
  return (
    <>
      <RecallForm key={asked.join('/')} asked={asked} />
      {error && <Refusal error={error} />}
      {query && !answer && !error && <Skeleton />}
      {!query && (
        <p className="sentence">
          <strong>What is bad?</strong> A stretch of a strip, a lot, a fault, a check that failed, or a tool:
          every piece that it touched is listed with where it is and what to do.
        </p>
      )}
      {answer && (
        <section className="stack" aria-label="What is touched">
          <p className="sentence wraps" data-testid="recall-sentence">
            <strong>{answer.says}</strong>
          </p>
          {answer.recall.because.map((why) => (
            <p className="quiet wraps" key={why}>
              Because of {why}.
            </p>
          ))}
          <p>
            <a href={`/api/records/recall.csv?${query}`} download>
              The list as CSV
            </a>
          </p>
          <RecallList recall={answer.recall} />
        </section>
      )}
    </>
  )
}

function RecallForm({ asked }: { asked: string[] }) {
  const [by, setBy] = useState<By>(WAYS.find(([name]) => name === asked[0])?.[0] ?? 'strip')
  const [id, setId] = useState(asked[1] ?? '')
  const [from, setFrom] = useState(asked[2] ?? '')
  const [to, setTo] = useState(asked[3] ?? '')
  const ends = isStrip(by) && from.trim() !== '' && to.trim() !== '' ? [from.trim(), to.trim()] : []
  return (
    <form
      className="row scan-row"
      aria-label="What is bad"
      onSubmit={(event) => {
        event.preventDefault()
        if (id.trim() !== '') goToRecord('recall', by, id.trim(), ...ends)
      }}
    >
      <SelectField label="What is bad" value={by} options={WAYS} onValue={setBy} />
      <TextField label={NAMES[by]} value={id} onValue={setId} />
      {isStrip(by) && (
        <>
          <TextField
            label={by === 'marks' ? 'From mark' : 'From, m'}
            value={from}
            onValue={setFrom}
            decimal
          />
          <TextField label={by === 'marks' ? 'To mark' : 'To, m'} value={to} onValue={setTo} decimal />
        </>
      )}
      <button type="submit" className="main-action">
        What did it touch?
      </button>
    </form>
  )
}
