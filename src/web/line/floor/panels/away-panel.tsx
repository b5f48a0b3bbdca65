import { useState } from 'react'
import type { EndCaps } from '../../../../ledger/state-rows.ts'
import { supplyM } from '../../../format.ts'
import { figureOf } from '../cut-record.ts'
import type { PanelProps } from '../floor-record.ts'
import { HandButton } from '../hand-button.tsx'
import { Panel, PanelField } from './panel.tsx'

const CAPS: { value: EndCaps; word: string }[] = [
  { value: 'both', word: 'both ends capped' },
  { value: 'outer_missing', word: 'no cap on the outer end' },
  { value: 'inner_missing', word: 'no cap on the inner end' },
  { value: 'none', word: 'no caps' },
]

interface Props extends PanelProps {
  /** Typed or scanned; scanning it puts the drum away at once. */
  place: string
  onPlace: (place: string) => void
}

/** The drum leaves the line: where to, with which caps, and the mark at its outer end where it was read. */
export function AwayPanel({ view, record, close, place, onPlace }: Props) {
  const [endCaps, setEndCaps] = useState<EndCaps>('both')
  const [mark, setMark] = useState('')
  const { mounted } = view
  if (!mounted)
    return (
      <Panel name="Put away" question="No drum is on the line." onClose={close}>
        <p>Scan the drum that comes on.</p>
      </Panel>
    )
  const markRead = mark === '' ? null : figureOf(mark)
  const wrong = place.trim() === '' || Number.isNaN(markRead)
  return (
    <Panel
      name="Put away"
      question={`Where does ${mounted.drum} go, with ${supplyM(mounted.restUm)} on it? Scan the place.`}
      onClose={close}
    >
      <form
        className="row"
        onSubmit={(event) => {
          event.preventDefault()
          if (!wrong) record(awayBody(), `${mounted.drum} put away at ${place.trim()}`)
        }}
      >
        <PanelField id="away-place" label="Place" value={place} text onType={onPlace} />
        <PanelField
          id="away-mark"
          label="Mark at the outer end"
          value={mark}
          placeholder={mounted.outerMark ?? 'not read'}
          onType={setMark}
        />
        <div className="field">
          <label htmlFor="away-caps">Ends</label>
          <select
            id="away-caps"
            value={endCaps}
            onChange={(event) => setEndCaps(event.target.value as EndCaps)}
          >
            {CAPS.map(({ value, word }) => (
              <option key={value} value={value}>
                {word}
              </option>
            ))}
          </select>
        </div>
        <HandButton
          letter="E"
          disabled={wrong}
          onPress={() => record(awayBody(), `${mounted.drum} put away at ${place.trim()}`)}
        >
          Put it there
        </HandButton>
      </form>
    </Panel>
  )

  function awayBody() {
    return {
      kind: 'put-drum-away' as const,
      ...{ drum: mounted?.drum ?? '', line: view.line, place: place.trim(), endCaps, markRead },
    }
  }
}
