import { useState } from 'react'
import type { ScrapCause } from '../../../../ledger/scrap-cause.ts'
import { Refused } from '../../../api.ts'
import { printLabelAgain } from '../../../parts/print-label.ts'
import { instant } from '../../../works-clock.ts'
import type { PanelProps } from '../floor-record.ts'
import { HandButton } from '../hand-button.tsx'
import { CauseField } from './cause-field.tsx'
import { Panel, PanelField, PanelForm } from './panel.tsx'

interface Props extends PanelProps {
  serial: string
  place: string
  onPlace: (place: string) => void
  tell: (text: string, wrong?: boolean) => void
}

/** A piece that was scanned: what it is, and what is done with it here. */
export function SerialPanel({ view, serial, place, onPlace, record, close, tell }: Props) {
  const [cause, setCause] = useState<ScrapCause>('spoiled')
  const known = view.done.find((piece) => piece.serial === serial)
  const { printer } = view
  const shelve = () => {
    if (place.trim() !== '')
      record({ kind: 'shelve-piece', serial, place: place.trim() }, `${serial} put away at ${place.trim()}`)
  }
  return (
    <Panel name="Piece" question={`${serial}: scan a place to put it there.`} onClose={close}>
      <p className="wraps">
        {known
          ? `${known.what}, ${known.declaredText}, made ${instant(known.at)}, ${known.where}.`
          : 'Not one of the last pieces of this line.'}
      </p>
      <PanelForm onEnter={shelve}>
        <PanelField id="piece-place" label="Place" value={place} text onType={onPlace} />
        <HandButton letter="E" disabled={place.trim() === ''} onPress={shelve}>
          Put it there
        </HandButton>
        {printer !== null && (
          <HandButton
            letter="I"
            onPress={() => void printAgain(serial, tell).then((asked) => asked && close())}
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
      </PanelForm>
    </Panel>
  )
}

/** Nothing is kept for later, since a label is wanted now. */
async function printAgain(serial: string, tell: Props['tell']): Promise<boolean> {
  try {
    const printer = await printLabelAgain(serial, 'asked for at the line')
    tell(`The label of ${serial} prints again on ${printer}.`)
    return true
  } catch (error) {
    tell(
      error instanceof Refused ? error.message : 'The server does not answer: no label is printed now.',
      true,
    )
    return false
  }
}
