import { useState } from 'react'
import { figureOf } from '../cut-record.ts'
import type { PanelProps } from '../floor-record.ts'
import { HandButton } from '../hand-button.tsx'
import { Panel, PanelField, PanelForm } from './panel.tsx'

/** A fault that was booked by its kind gets its place, by the marks on both sides of it. */
export function PlaceFaultPanel({ fault, record, close }: PanelProps & { fault: string }) {
  const [from, setFrom] = useState('')
  const [to, setTo] = useState('')
  const markFrom = figureOf(from)
  const markTo = to === '' ? markFrom : figureOf(to)
  const wrong = Number.isNaN(markFrom) || Number.isNaN(markTo)
  const place = () => {
    if (!wrong)
      record(
        { kind: 'place-fault', fault, place: { by: 'mark', markFrom, markTo, segment: null } },
        `${fault} from mark ${from} to ${to || from}`,
      )
  }
  return (
    <Panel name="Place the fault" question={`From which mark to which does ${fault} reach?`} onClose={close}>
      <PanelForm onEnter={place}>
        <PanelField id="fault-from" label="From mark" value={from} onType={setFrom} />
        <PanelField id="fault-to" label="To mark" value={to} placeholder={from} onType={setTo} />
        <HandButton letter="E" disabled={wrong} onPress={place}>
          Place it there
        </HandButton>
      </PanelForm>
    </Panel>
  )
}
