import { useState } from 'react'
import { figureOf } from '../cut-record.ts'
import type { PanelProps } from '../floor-record.ts'
import { HandButton } from '../hand-button.tsx'
import { Panel, PanelField } from './panel.tsx'

/** Common practice of the trade. */
const CAUSES = [
  ['Threading', 'H'],
  ['Break', 'B'],
  ['Wind', 'I'],
  ['Counter', 'C'],
  ['Spark tester', 'K'],
  ['No drum here', 'G'],
  ['Other', 'O'],
] as const

/** The line stands: why, and how long if that is known already. */
export function StoppedPanel({ view, record, close }: PanelProps) {
  const [minutes, setMinutes] = useState('')
  const typed = minutes === '' ? null : figureOf(minutes)
  const wrong = typed !== null && !(typed >= 0)
  return (
    <Panel name="Stopped" question="Why does the line stand?" onClose={close}>
      <div className="hand-grid">
        {CAUSES.map(([cause, letter]) => (
          <HandButton
            key={cause}
            letter={letter}
            disabled={wrong}
            onPress={() =>
              record(
                { kind: 'stop-line', line: view.line, cause: cause.toLowerCase(), minutes: typed },
                `stopped: ${cause.toLowerCase()}`,
              )
            }
          >
            {cause}
          </HandButton>
        ))}
      </div>
      <PanelField
        id="stopped-minutes"
        label="For how long, minutes"
        value={minutes}
        placeholder="not known yet"
        onType={setMinutes}
      />
      {wrong && <p className="wrong">The minutes are no figure.</p>}
    </Panel>
  )
}
