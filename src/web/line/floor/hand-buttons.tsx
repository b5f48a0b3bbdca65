import { HandButton } from './hand-button.tsx'

export type PanelName =
  | 'short'
  | 'long'
  | 'spoiled'
  | 'fault'
  | 'stopped'
  | 'drum'
  | 'away'
  | 'ran-out'
  | 'more'

const BUTTONS: { panel: PanelName; word: string; letter: string }[] = [
  { panel: 'short', word: 'Short', letter: 'S' },
  { panel: 'long', word: 'Long', letter: 'L' },
  { panel: 'spoiled', word: 'Spoiled', letter: 'P' },
  { panel: 'fault', word: 'Fault here, now', letter: 'F' },
  { panel: 'stopped', word: 'Stopped', letter: 'T' },
  { panel: 'drum', word: 'Drum change', letter: 'D' },
  { panel: 'away', word: 'Put away', letter: 'W' },
  { panel: 'ran-out', word: 'Ran out here', letter: 'R' },
  { panel: 'more', word: 'More left', letter: 'M' },
]

interface Props {
  /** What the main button records; null where nothing is to be cut. */
  main: string | null
  mounted: boolean
  onMain: () => void
  onPanel: (panel: PanelName) => void
}

/** Every deed at the line, along the lower edge, each at least 20 mm in the hand. */
export function HandButtons({ main, mounted, onMain, onPanel }: Props) {
  return (
    <div className="hand-bar">
      <HandButton letter="A" main disabled={main === null} onPress={onMain}>
        {main ?? 'As shown'}
      </HandButton>
      {BUTTONS.map(({ panel, word, letter }) => (
        <HandButton
          key={panel}
          letter={letter}
          disabled={!mounted && !['stopped', 'drum'].includes(panel)}
          onPress={() => onPanel(panel)}
        >
          {word}
        </HandButton>
      ))}
    </div>
  )
}
