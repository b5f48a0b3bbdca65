import { useState } from 'react'
import type { DueItem } from '../../ledger/due.ts'
import { dueSentence, dueWords } from '../../ledger/due-words.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import type { DueAnswer } from '../../works/records-api.ts'
import { day, daysIn } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { Refusal } from '../parts/refusal.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { useAnswer } from '../use-answer.ts'
import { CheckForm } from './check-form.tsx'
import { recordsHash } from './records-view.tsx'

const keyOf = (i: DueItem) => `${i.what}|${i.subject}|${i.task}`

const COLUMNS: Column<DueItem>[] = [
  {
    key: 'what',
    head: 'What',
    track: 'minmax(12rem, 1fr)',
    cell: (i) => (
      <span className="wraps">
        {i.what} {i.subject}
        {i.task === 'check' ? '' : `, ${i.task}`}
      </span>
    ),
  },
  {
    key: 'name',
    head: 'Which is',
    track: 'minmax(0, 1fr)',
    cell: (i) => <span className="wraps">{i.name ?? '–'}</span>,
  },
  {
    key: 'when',
    head: 'When',
    track: 'minmax(14rem, 1fr)',
    cell: (i) => (
      <span className={i.state === 'failed' || i.state === 'overdue' ? 'wrong wraps' : 'wraps'}>
        {i.state === 'failed' ? '✗ ' : i.state === 'overdue' ? '! ' : ''}
        {daysIn(dueWords(i))}
        {i.state === 'failed' && i.lastCheck && (
          <>
            {'; '}
            <a href={recordsHash('recall', 'check', i.lastCheck)}>what it made suspect</a>
          </>
        )}
      </span>
    ),
  },
  {
    key: 'last',
    head: 'Last',
    track: '9rem',
    cell: (i) => (i.lastDate === null ? 'not recorded' : `${day(i.lastDate)}${i.lastPassed ? ' ✓' : ''}`),
  },
  {
    key: 'source',
    head: 'Why so often',
    track: 'minmax(0, 1.4fr)',
    wide: true,
    cell: (i) => <span className="wraps small">{i.source}</span>,
  },
]

/** One calendar of everything that must be checked. */
export function DueView({ input }: { input: PlanInput }) {
  const { answer, error, reload } = useAnswer<DueAnswer>('/api/records/due')
  const [chosen, setChosen] = useState<string | null>(null)
  if (error) return <Refusal error={error} />
  if (!answer) return <Skeleton />
  const { items } = answer
  const item = items.find((i) => keyOf(i) === chosen) ?? items[0]
  return (
    <>
      <section className="stack" aria-label="What is due">
        <p className="sentence wraps" data-testid="due-sentence">
          <strong>{daysIn(dueSentence(items))}</strong>
        </p>
        <DataTable
          caption="What must be checked"
          columns={COLUMNS}
          rows={items}
          keyOf={keyOf}
          chosen={item ? keyOf(item) : null}
          onChoose={setChosen}
          pane
        />
      </section>
      {item && (
        <CheckForm
          key={keyOf(item)}
          item={item}
          input={input}
          onBooked={async () => {
            setChosen(keyOf(item))
            await reload()
          }}
        />
      )}
    </>
  )
}
