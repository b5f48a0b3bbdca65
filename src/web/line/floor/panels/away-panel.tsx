import { useState } from 'react'
import type { EndCaps } from '../../../../ledger/state-rows.ts'
import { supplyM } from '../../../format.ts'
import { SelectField } from '../../../parts/select-field.tsx'
import { figureOf } from '../cut-record.ts'
import type { PanelProps } from '../floor-record.ts'
import { HandButton } from '../hand-button.tsx'
import { Panel, PanelField, PanelForm } from './panel.tsx'

const CAPS = [
  ['both', 'both ends capped'],
  ['outer_missing', 'no cap on the outer end'],
  ['inner_missing', 'no cap on the inner end'],
  ['none', 'no caps'],
] as const

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
  const { drum } = mounted
  const putAway = () =>
    record(
      { kind: 'put-drum-away', drum, line: view.line, place: place.trim(), endCaps, markRead },
      `${drum} put away at ${place.trim()}`,
    )
  return (
    <Panel
      name="Put away"
      question={`Where does ${drum} go, with ${supplyM(mounted.restUm)} on it? Scan the place.`}
      onClose={close}
    >
      <PanelForm onEnter={() => !wrong && putAway()}>
        <PanelField id="away-place" label="Place" value={place} text onType={onPlace} />
        <PanelField
          id="away-mark"
          label="Mark at the outer end"
          value={mark}
          placeholder={mounted.outerMark ?? 'not read'}
          onType={setMark}
        />
        <SelectField label="Ends" value={endCaps} options={CAPS} onValue={setEndCaps} />
        <HandButton letter="E" disabled={wrong} onPress={putAway}>
          Put it there
        </HandButton>
      </PanelForm>
    </Panel>
  )
}
