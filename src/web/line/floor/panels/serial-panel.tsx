import { useState } from 'react'
import type { ScrapCause } from '../../../../ledger/scrap-cause.ts'
import { instant } from '../../../format.ts'
import type { PanelProps } from '../floor-record.ts'
import { HandButton } from '../hand-button.tsx'
import { CauseField } from './cause-field.tsx'
import { Panel, PanelField } from './panel.tsx'

interface Props extends PanelProps {
  serial: string
  place: string
  onPlace: (place: string) => void
}

/** A piece that was scanned: what it is, and what is done with it here. */
export function SerialPanel({ view, serial, place, onPlace, record, close }: Props) {
  const [cause, setCause] = useState<ScrapCause>('spoiled')
  const known = view.done.find((piece) => piece.serial === serial)
  const { printer } = view
  return (
    <Panel name="Piece" question={`${serial}: scan a place to put it there.`} onClose={close}>
      <p className="wraps">
        {known
          ? `${known.what}, declared ${known.declaredText}, made ${instant(known.at)}, ${known.where}.`
          : 'Not one of the last pieces of this line.'}
      </p>
      <div className="row">
        <PanelField id="piece-place" label="Place" value={place} text onType={onPlace} />
        <HandButton
          letter="E"
          disabled={place.trim() === ''}
          onPress={() =>
            record(
              { kind: 'shelve-piece', serial, place: place.trim() },
              `${serial} put away at ${place.trim()}`,
            )
          }
        >
          Put it there
        </HandButton>
        {printer !== null && (
          <HandButton
            letter="I"
            onPress={() =>
              record(
                { kind: 'print-label', serial, printer, reason: 'asked for at the line' },
                `label of ${serial} again`,
              )
            }
          >
            Print its label again
          </HandButton>
        )}
        <CauseField cause={cause} onCause={setCause} />
        <HandButton
          letter="B"
          onPress={() => record({ kind: 'spoil-piece', serial, cause }, `${serial} spoiled: ${cause}`)}
        >
          It is spoiled
        </HandButton>
      </div>
    </Panel>
  )
}
