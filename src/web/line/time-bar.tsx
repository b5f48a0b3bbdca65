import type { TimeSplit } from '../../line/replay/time-split.ts'
import { figureText } from '../../quantity/length-text.ts'

const seconds = (s: number) => `${figureText(s, 1)} s`

/** Where the time went, as one bar told by pattern and words. */
export function TimeBar({ time }: { time: TimeSplit }) {
  const parts = [
    {
      name: 'running',
      s: time.runningS,
      look: 'time-running',
      more: `crawling ${seconds(time.crawlingS)} of it`,
    },
    { name: 'handling', s: time.handlingS, look: 'time-handling', more: '' },
    {
      name: 'waiting',
      s: time.waitingS,
      look: 'time-waiting',
      more:
        time.microStops > 0 ? `${time.microStops} short stops in mid-piece, ${seconds(time.microStopS)}` : '',
    },
    { name: 'not recorded', s: time.unknownS, look: 'time-unknown', more: '' },
  ].filter((part) => part.s > 0)
  return (
    <figure aria-label={`Where ${seconds(time.totalS)} went`} className="stack close">
      <div className="time-bar" aria-hidden="true">
        {parts.map(({ name, s, look }) => (
          <div key={name} className={look} style={{ flexGrow: s }} />
        ))}
      </div>
      <dl className="bound-legend time-legend">
        {parts.map(({ name, s, look, more }) => (
          <div key={name}>
            <dt>
              <span className={`swatch ${look}`} aria-hidden="true" /> {name}
              {more && <span className="quiet"> ({more})</span>}
            </dt>
            <dd>{seconds(s)}</dd>
          </div>
        ))}
      </dl>
    </figure>
  )
}
