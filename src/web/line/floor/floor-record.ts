import type { CommandBody } from '../../../ledger/command.ts'
import type { FloorCut, FloorView, LineSignals } from '../../../works/floor-api.ts'
import type { PanelName } from './hand-buttons.tsx'

/** What is asked above the buttons. */
export type Open =
  | { panel: Exclude<PanelName, 'short' | 'long'> }
  | { panel: 'serial'; serial: string }
  | { panel: 'place-fault'; fault: string }
  | null

/** What a panel of the line works with. */
export interface PanelProps {
  view: FloorView
  cut: FloorCut | null
  signals: LineSignals | null
  /** Keeps a record and closes the panel; stays open where it could not be kept. */
  record: (body: CommandBody, words: string) => void
  close: () => void
}
