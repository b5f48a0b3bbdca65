import { useState } from 'react'
import type { ScrapCause } from '../../../../ledger/scrap-cause.ts'
import { UM_PER_M } from '../../../../quantity/length.ts'
import { figureOf } from '../cut-record.ts'
import type { PanelProps } from '../floor-record.ts'
import { HandButton } from '../hand-button.tsx'
import { CauseField } from './cause-field.tsx'
import { Panel, PanelField } from './panel.tsx'

/** Of the pieces just made; an older one is scanned. */
const MOST_OFFERED = 3

/** What is spoiled: the length in hand, which goes to scrap, or one of the pieces that were just made. */
export function SpoiledPanel({ view, cut, record, close }: PanelProps) {
  const [cause, setCause] = useState<ScrapCause>('spoiled')
  const [length, setLength] = useState('')
  const shownM = cut ? cut.takenUm / UM_PER_M : Number.NaN
  const lengthM = length === '' ? shownM : figureOf(length)
  const wrong = !(lengthM > 0)
  const drum = view.mounted?.drum
  return (
    <Panel name="Spoiled" question="What is spoiled?" onClose={close}>
      <div className="hand-grid">
        {drum && (
          <HandButton
            letter="G"
            disabled={wrong}
            onPress={() =>
              record(
                {
                  kind: 'cut-off',
                  ...{ drum, line: view.line, lengthUm: Math.round(lengthM * UM_PER_M), use: 'scrap', cause },
                },
                `${lengthM} m to scrap: ${cause}`,
              )
            }
          >
            The length in hand
          </HandButton>
        )}
        {view.done.slice(0, MOST_OFFERED).map((piece) => (
          <HandButton
            key={piece.serial}
            onPress={() =>
              record(
                { kind: 'spoil-piece', serial: piece.serial, cause },
                `${piece.serial} spoiled: ${cause}`,
              )
            }
          >
            {piece.serial}, {piece.declaredText}
          </HandButton>
        ))}
      </div>
      <div className="row">
        <PanelField
          id="spoiled-length"
          label="Length in hand, m (true)"
          value={length}
          placeholder={Number.isNaN(shownM) ? '' : shownM.toFixed(3)}
          onType={setLength}
        />
        <CauseField cause={cause} onCause={setCause} />
        <p className="quiet">An older piece: scan its serial.</p>
      </div>
    </Panel>
  )
}
