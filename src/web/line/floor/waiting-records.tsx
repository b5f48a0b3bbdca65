import type { AheadDrum } from '../../../works/floor-api.ts'
import { many } from '../../format.ts'
import { MOST_WAITING } from '../../outbox/station-store.ts'
import { outbox, useOutbox } from '../../outbox/use-outbox.ts'
import type { AnsweredRecord, WaitingRecord } from '../../outbox/waiting-record.ts'
import { instant } from '../../works-clock.ts'

interface StationNoteProps {
  offline: boolean
  heardAt: string | null
  /** Drums that can be mounted without the server. */
  ahead: AheadDrum[]
}

/** How this station stands with the server: nothing to say, records that wait, or the network away. */
export function StationNote({ offline, heardAt, ahead }: StationNoteProps) {
  const state = useOutbox()
  const waits = state.waiting.length
  const away = offline || state.line === 'offline'
  return (
    <div role="status">
      {state.broken !== null && (
        <p className="banner bad wraps">
          <strong>This browser keeps nothing, so nothing can be recorded here.</strong> Leave the private
          window, or make room on the disk. ({state.broken})
        </p>
      )}
      {away && (
        <div className="banner row">
          <p className="grow">
            <strong>
              Offline:{' '}
              {waits === 0 ? 'no record waits' : `${many(waits, 'record')} ${waits === 1 ? 'waits' : 'wait'}`}
              .
            </strong>{' '}
            Go on: what you record is kept here and sent in order when the server answers
            {heardAt ? `. The plan shown is from ${instant(heardAt)}` : ''}; nothing is planned anew and no
            label is printed until then.{' '}
            {ahead.length > 0 &&
              `The cuts of the next drums are kept here as well: ${ahead.map((a) => a.drum.drum).join(', ')}.`}
            {waits > MOST_WAITING / 2 && ` At most ${MOST_WAITING} records are kept.`}
          </p>
          <button type="button" className="button in-hand" onClick={() => outbox().sendNow()}>
            Try now
          </button>
        </div>
      )}
      {!away && state.line === 'signed-out' && waits > 0 && (
        <p className="banner">
          <strong>
            Sign in: {many(waits, 'record')} {waits === 1 ? 'waits' : 'wait'}.
          </strong>
        </p>
      )}
      {!away && state.line === 'held' && <HeldNote waiting={state.waiting} />}
    </div>
  )
}

/** Records that only their maker's own sign-in can prove; what was made after them waits too, so that the order stays. */
function HeldNote({ waiting }: { waiting: WaitingRecord[] }) {
  const by = waiting[0]?.by
  if (!by) return null
  const theirs = waiting.filter((record) => record.by.account === by.account).length
  const after = waiting.length - theirs
  return (
    <div className="banner row">
      <p className="grow wraps">
        <strong>
          {many(theirs, 'record')} of {by.name} {theirs === 1 ? 'waits' : 'wait'} for their sign-in.
        </strong>{' '}
        {theirs === 1 ? 'It was' : 'They were'} made here without the server, and only their PIN proves it.{' '}
        {after > 0 &&
          `${many(after, 'record')} made after that ${after === 1 ? 'waits' : 'wait'} too, so that the order stays. `}
        If {by.name} does not come, a person settles what they made.
      </p>
      <button type="button" className="button in-hand" onClick={() => void outbox().giveUpProof(by.account)}>
        Set aside, send the rest
      </button>
    </div>
  )
}

/** What the server said to records afterwards: refused ones, and coils that now have their serial. */
export function AnsweredRecords() {
  const { answered } = useOutbox()
  if (answered.length === 0) return null
  return (
    <section className="stack close" aria-labelledby="answered-head">
      <h2 id="answered-head">Look at these</h2>
      <ul className="answered">
        {answered.map((answer) => (
          <li key={answer.running} className={answer.refused ? 'banner bad row' : 'banner good row'}>
            <p className="grow wraps">
              <AnswerText answer={answer} />
            </p>
            <button
              type="button"
              className="button in-hand"
              onClick={() => void outbox().seen([answer.running])}
            >
              {answer.refused ? 'Seen' : 'Labels are on'}
            </button>
          </li>
        ))}
      </ul>
    </section>
  )
}

/** One tag, or the first and the last of a run. */
export function tagsText(tags: string[]): string {
  return tags.length > 2 ? `${tags[0]} to ${tags.at(-1)}` : tags.join(' and ')
}

function AnswerText({ answer }: { answer: AnsweredRecord }) {
  const { refused, aside, words, at, tags, serials } = answer
  if (refused)
    return (
      <>
        <strong>Not booked: {words}</strong>, recorded {instant(at)}. {refused.message}{' '}
        {aside === null
          ? refused.todo
          : `It is kept word for word as number ${aside} for a person to settle.`}
        {tags.length > 0 && ` On the coil: ${tagsText(tags)}.`}
      </>
    )
  return (
    <>
      {tags.map((tag, i) => (
        <span key={tag}>
          <strong>
            Coil {tag} is {serials[i] ?? 'without a serial'}.
          </strong>{' '}
        </span>
      ))}
      Put the {tags.length === 1 ? 'label' : 'labels'} on.
    </>
  )
}
