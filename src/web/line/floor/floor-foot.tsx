import type { FloorView } from '../../../works/floor-api.ts'
import { useMe } from '../../access/me-state.tsx'
import { daysIn, many, supplyM } from '../../format.ts'
import { useOutbox } from '../../outbox/use-outbox.ts'
import { tagsOfRecord } from '../../outbox/waiting-record.ts'
import { instant } from '../../works-clock.ts'
import { tagsText } from './waiting-records.tsx'

interface Props {
  view: FloorView
  letters: boolean
  onLetters: () => void
  onOtherLine: () => void
}

/** The last pieces, what waits, and how this station works. */
export function FloorFoot({ view, letters, onLetters, onOtherLine }: Props) {
  const { station, waiting, line } = useOutbox()
  const moving = line === 'idle' || line === 'sending'
  const { account } = useMe()
  const { mounted, plan } = view
  return (
    <>
      {waiting.length > 0 && (
        <section className="stack close" aria-labelledby="waiting-head">
          <h2 id="waiting-head">
            {many(waiting.length, 'record')} {moving ? 'on the way' : 'not sent yet'}
          </h2>
          <ol className="waiting-list small">
            {waiting.map((record) => (
              <li key={record.running} className="wraps">
                {record.words}
                {record.by.account !== (account ?? '') && `, made by ${record.by.name}`}
                {tagsOfRecord(record).length > 0 && `, on the coil: ${tagsText(tagsOfRecord(record))}`}
              </li>
            ))}
          </ol>
        </section>
      )}
      <section className="stack close" aria-labelledby="done-head">
        <h2 id="done-head">Made here last</h2>
        {view.done.length === 0 ? (
          <p className="quiet">Nothing yet.</p>
        ) : (
          <ul className="done-list small">
            {view.done.map((piece) => (
              <li key={piece.serial} className="wraps">
                <strong>{piece.serial}</strong> {piece.what}, {piece.declaredText}, {instant(piece.at)},{' '}
                {piece.where}
              </li>
            ))}
          </ul>
        )}
      </section>
      <section className="small quiet stack close" aria-label="This station">
        <p className="wraps">
          {mounted &&
            `${mounted.drum}: ${mounted.cable}, lot ${mounted.lot}, ${supplyM(mounted.restUm)} left, ${mounted.mounting === null ? 'outside the plan' : `mounting ${mounted.mounting} of ${mounted.of}`}. `}
          {plan && `Plan ${plan.number}, ${plan.cause}, in force since ${instant(plan.releasedAt)}. `}
          {daysIn(view.correction)}
        </p>
        <p>
          Station {station ?? 'without a name'} at {view.line}.{' '}
          {view.printer ? `Labels print on ${view.printer}. ` : 'No printer is recorded for this line. '}
          {!window.isSecureContext &&
            'Without TLS this page cannot be loaded again while the server is away: leave it open. What is recorded is kept all the same.'}
        </p>
        <p className="row">
          <button type="button" className="button" aria-pressed={letters} onClick={onLetters}>
            Letter keys press the buttons: {letters ? 'yes' : 'no'}
          </button>
          <button type="button" className="button" onClick={onOtherLine}>
            Another line
          </button>
        </p>
      </section>
    </>
  )
}
