import { recallSentence } from '../../ledger/recall.ts'
import { figureWords } from '../../ledger/trace-words.ts'
import type { FollowAnswer } from '../../works/records-api.ts'
import { many } from '../format.ts'
import { RecallList } from './recall-list.tsx'
import { recordsHash } from './records-view.tsx'

/** One lot: its tests, its strips, and everything that was made of it. */
export function LotAnswer({ answer }: { answer: Extract<FollowAnswer, { kind: 'lot' }> }) {
  const { lot, test, strips, recall } = answer
  return (
    <section className="stack" aria-labelledby="lot-head">
      <p className="sentence wraps" id="lot-head">
        <strong>
          Lot {lot}: {many(strips.length, 'strip')}.
        </strong>{' '}
        {test ? `It ${test.passed ? 'passed' : 'failed'} its tests.` : 'No test of it is recorded.'}{' '}
        {recallSentence(recall)}
      </p>
      <p className="row">
        {strips.map(({ strip }) => (
          <a key={strip} href={recordsHash('follow', strip)}>
            Strip {strip}
          </a>
        ))}
      </p>
      {test && (
        <ul className="plain-list">
          {test.figures.map((figure) => (
            <li key={`${figure.quantity} ${figure.fMhz}`} className="wraps">
              {figureWords(figure)}
            </li>
          ))}
        </ul>
      )}
      <RecallList recall={recall} />
    </section>
  )
}
