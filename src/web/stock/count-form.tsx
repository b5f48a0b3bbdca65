import { bookWitness } from '../../measure/drum-witness.ts'
import type { Drum } from '../../strip/drum.ts'
import { lengthM, supplyM } from '../format.ts'
import { SelectField } from '../parts/select-field.tsx'
import { TextField } from '../parts/text-field.tsx'
import type { FoundBy, FoundLength } from './found-length.ts'

interface Props {
  drum: Drum
  how: FoundBy
  text: string
  /** What follows from the text. */
  found: FoundLength | null
  /** Who is signed in may not count. */
  blocked: boolean
  busy: boolean
  onHow: (how: FoundBy) => void
  onText: (text: string) => void
  onCount: (found: FoundLength) => void
}

const HOWS = [
  ['length', 'length, m'],
  ['mark', 'mark at the outer end'],
  ['weight', 'gross weight, kg'],
] as const

/** One drum, and the length that it was found with. */
export function CountForm({ drum, how, text, found, blocked, busy, onHow, onText, onCount }: Props) {
  return (
    <form
      className="inputs"
      aria-label={`Count of ${drum.drum}`}
      onSubmit={(event) => {
        event.preventDefault()
        if (found && !blocked) onCount(found)
      }}
    >
      <p className="wraps">
        <strong>{drum.drum}</strong>, {drum.cable}, lot {drum.lot}; by the book {supplyM(drum.bookUm)} at{' '}
        {drum.location ?? 'no place'}.
      </p>
      <SelectField label="Found by" value={how} options={HOWS} onValue={onHow} />
      <TextField
        label={HOWS.find(([h]) => h === how)?.[1] ?? ''}
        value={text}
        decimal
        hint={
          found
            ? `that is ${supplyM(found.foundUm)} ± ${lengthM(Math.ceil(2 * found.foundUncUm))}`
            : 'a figure'
        }
        onValue={onText}
      />
      <button type="submit" className="button strong" aria-disabled={!found || blocked || busy}>
        Counted
      </button>
      <button
        type="button"
        className="button"
        aria-disabled={blocked || busy}
        onClick={() =>
          !blocked && onCount({ foundUm: drum.bookUm, foundUncUm: bookWitness(drum).standardUm })
        }
      >
        As booked, {supplyM(drum.bookUm)}
      </button>
    </form>
  )
}
