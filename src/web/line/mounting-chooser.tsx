import { useState } from 'react'
import type { RunSheet } from '../../dispatch/run-sheet.ts'

interface Props {
  sheets: RunSheet[]
  number: number
  onChoose: (number: number) => void
}

/** "lastmetre:plan/P0003/mounting/12" as the code of a run sheet says it, or the number itself. */
function scannedNumber(text: string, most: number): number | null {
  const found = /(?:^|\/mounting\/)([1-9]\d{0,5})$/.exec(text.trim())
  const number = found ? Number(found[1]) : 0
  return number >= 1 && number <= most ? number : null
}

/** Which mounting: chosen, stepped through, or scanned from its run sheet. */
export function MountingChooser({ sheets, number, onChoose }: Props) {
  const [scanned, setScanned] = useState('')
  const [unknown, setUnknown] = useState<string | null>(null)
  return (
    <section className="row mounting-chooser" aria-label="Which mounting">
      <button
        type="button"
        className="button in-hand"
        aria-disabled={number <= 1}
        onClick={() => number > 1 && onChoose(number - 1)}
      >
        ← Before
      </button>
      <div className="field grow">
        <label htmlFor="mounting-choice">Mounting</label>
        <select
          id="mounting-choice"
          value={number}
          onChange={(event) => onChoose(Number(event.target.value))}
        >
          {sheets.map((sheet) => (
            <option key={sheet.number} value={sheet.number}>
              {sheet.number}. {sheet.mounting.drum} on {sheet.mounting.line}, {sheet.usable.drum.cable}
            </option>
          ))}
        </select>
      </div>
      <form
        className="field"
        onSubmit={(event) => {
          event.preventDefault()
          const found = scannedNumber(scanned, sheets.length)
          setUnknown(found === null ? scanned : null)
          setScanned('')
          if (found !== null) onChoose(found)
        }}
      >
        <label htmlFor="mounting-scan">Scan a run sheet</label>
        <input
          id="mounting-scan"
          value={scanned}
          autoComplete="off"
          spellCheck={false}
          maxLength={100}
          onChange={(event) => setScanned(event.target.value)}
        />
      </form>
      <button
        type="button"
        className="button in-hand"
        aria-disabled={number >= sheets.length}
        onClick={() => number < sheets.length && onChoose(number + 1)}
      >
        Next →
      </button>
      <p role="status" className={unknown === null ? 'spoken' : 'wrong wraps'}>
        {unknown !== null && `“${unknown}” is no run sheet of this plan.`}
      </p>
    </section>
  )
}
