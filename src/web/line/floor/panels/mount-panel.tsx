import { useState } from 'react'
import { supplyM } from '../../../format.ts'
import type { PanelProps } from '../floor-record.ts'
import { HandButton } from '../hand-button.tsx'
import { Panel, PanelField } from './panel.tsx'

/** Which drum comes on: it is scanned, or typed where its code cannot be read. */
export function MountPanel({ view, close, onCode }: PanelProps & { onCode: (code: string) => void }) {
  const [code, setCode] = useState('')
  const next = view.nextDrum
  const take = () => {
    if (code.trim() !== '') onCode(code.trim())
  }
  return (
    <Panel
      name="Drum change"
      question={
        next
          ? `Scan ${next.drum}${next.place ? `; it lies at ${next.place}` : ''}.`
          : 'Nothing is planned here: scan the drum that comes on.'
      }
      onClose={close}
    >
      <form
        className="row"
        onSubmit={(event) => {
          event.preventDefault()
          take()
        }}
      >
        <PanelField id="mount-code" label="Drum" value={code} text onType={setCode} />
        <HandButton letter="E" onPress={take}>
          It is on the line
        </HandButton>
        {next && (
          <p className="quiet wraps">
            {next.cable}, lot {next.lot}, {supplyM(next.restUm)}
            {next.outerMark ? `, mark ${next.outerMark} at the outer end` : ''}
          </p>
        )}
      </form>
    </Panel>
  )
}
