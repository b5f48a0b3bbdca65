import { useId } from 'react'
import type { FloorCut } from '../../../works/floor-api.ts'
import { figureTyped } from '../../parts/figure-text.ts'
import type { ExpectedCut, TypedCut } from './cut-record.ts'

interface Props {
  cut: FloorCut
  typed: TypedCut
  /** What stands there where nothing was typed. */
  expected: ExpectedCut
  times: number
  wrong: string | null
  /** Where what is wound off goes by the plan; null where nothing is put away. */
  place: string | null
  /** What the line's own counter reads where it stands; null where it is not heard or runs. */
  live: number | null
  onTyped: (typed: TypedCut) => void
  onTimes: (times: number) => void
  onEnter: () => void
}

/** What was read at the cut: it stands there as expected; only what differs is typed over it. */
export function CutFields(props: Props) {
  const { cut, typed, expected, times, wrong, place, live, onTyped, onTimes, onEnter } = props
  const change = (part: Partial<TypedCut>) => onTyped({ ...typed, ...part })
  return (
    <form
      className="cut-fields"
      aria-label="Read at the cut"
      onSubmit={(event) => {
        event.preventDefault()
        onEnter()
      }}
    >
      <ReadField
        name="counter"
        label={cut.presetM === null ? 'Measured off, m' : 'Counter reads, m'}
        shown={expected.counterM.toFixed(3)}
        value={typed.counter}
        onType={(counter) => change({ counter })}
      />
      {live !== null && cut.presetM !== null && (
        <LiveReading metres={live} onTake={() => change({ counter: live.toFixed(3) })} />
      )}
      {expected.mark !== null && (
        <ReadField
          name="mark"
          label={`${cut.asShown.kind === 'cut-pieces' ? 'Mark on its end' : 'Mark reads'}, ${cut.markUnit ?? 'm'}`}
          shown={expected.mark.toFixed(1)}
          value={typed.mark}
          onType={(mark) => change({ mark })}
        />
      )}
      {cut.asShown.kind === 'cut-pieces' && (
        <ReadField
          name="seen"
          label="Seen on it"
          shown="nothing: as shown"
          text
          value={typed.seen}
          onType={(seen) => change({ seen })}
        />
      )}
      {place !== null && (
        <ReadField
          name="place"
          label="Its place: scan or type"
          shown={place}
          text
          value={typed.place}
          onType={(typedPlace) => change({ place: typedPlace })}
        />
      )}
      {cut.equal > 1 && <TimesField equal={cut.equal} times={times} onTimes={onTimes} />}
      <p role="alert" className={wrong ? 'wrong wraps' : 'spoken'}>
        {wrong}
      </p>
      {/* Enter in a field records, as it does in every form */}
      <button type="submit" className="spoken" tabIndex={-1}>
        Record this cut
      </button>
    </form>
  )
}

/** Taken by a press: what the counter reads at the stop is not always what was to be expected. */
function LiveReading({ metres, onTake }: { metres: number; onTake: () => void }) {
  return (
    <button type="button" className="button" data-letter="U" aria-keyshortcuts="U" onClick={onTake}>
      Take {metres.toFixed(3)} m off the counter
      <span className="hand-key" aria-hidden="true">
        U
      </span>
    </button>
  )
}

interface TimesProps {
  equal: number
  times: number
  onTimes: (times: number) => void
}

/** Equal coils that are confirmed as one run. */
function TimesField({ equal, times, onTimes }: TimesProps) {
  const id = useId()
  return (
    <div className="field times">
      <label htmlFor={id}>Coils in one go, of {equal} equal</label>
      <div className="times-row">
        <input
          id={id}
          inputMode="numeric"
          autoComplete="off"
          maxLength={4}
          value={times === 0 ? '' : times}
          onChange={(event) => onTimes(countOf(event.target.value, equal))}
        />
        <button
          type="button"
          className="button"
          data-letter="Q"
          aria-keyshortcuts="Q"
          aria-pressed={times === equal}
          onClick={() => onTimes(times === equal ? 1 : equal)}
        >
          All {equal}
          <span className="hand-key" aria-hidden="true">
            Q
          </span>
        </button>
      </div>
    </div>
  )
}

interface ReadProps {
  name: string
  label: string
  shown: string
  value: string
  text?: boolean
  onType: (value: string) => void
}

function ReadField({ name, label, shown, value, text, onType }: ReadProps) {
  return (
    <div className={value === '' ? 'field' : 'field changed'}>
      <label htmlFor={`read-${name}`}>
        {label}
        {value !== '' && shown !== '' && <span className="quiet"> (shown: {shown})</span>}
      </label>
      <input
        id={`read-${name}`}
        inputMode={text ? 'text' : 'decimal'}
        autoComplete="off"
        spellCheck={false}
        maxLength={text ? 80 : 14}
        placeholder={shown}
        value={value}
        onChange={({ target }) => onType(text ? target.value : figureTyped(value, target.value))}
      />
    </div>
  )
}

/** 0 stands for an emptied field, until a figure is typed. */
function countOf(text: string, most: number): number {
  const n = Number.parseInt(text, 10)
  return Number.isNaN(n) ? 0 : Math.max(1, Math.min(most, n))
}
