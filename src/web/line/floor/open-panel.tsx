import type { FloorState } from './floor-station.ts'
import { AwayPanel } from './panels/away-panel.tsx'
import { FaultPanel } from './panels/fault-panel.tsx'
import { MountPanel } from './panels/mount-panel.tsx'
import { PlaceFaultPanel } from './panels/place-fault-panel.tsx'
import { MoreLeftPanel, RanOutPanel } from './panels/rest-panel.tsx'
import { SerialPanel } from './panels/serial-panel.tsx'
import { SpoiledPanel } from './panels/spoiled-panel.tsx'
import { StoppedPanel } from './panels/stopped-panel.tsx'
import type { FloorDeeds } from './use-floor-deeds.ts'

/** The question that is open above the buttons. */
export function OpenPanel({ deeds, state }: { deeds: FloorDeeds; state: FloorState }) {
  const { open, place } = deeds
  const { view } = state
  if (!open || !view) return null
  const props = {
    ...{ view, cut: state.cut, signals: state.signals },
    record: (...record: Parameters<FloorDeeds['record']>) => void deeds.record(...record),
    close: () => deeds.setOpen(null),
  }
  const placed = { place, onPlace: deeds.setPlace }
  switch (open.panel) {
    case 'fault':
      return <FaultPanel {...props} />
    case 'place-fault':
      return <PlaceFaultPanel {...props} fault={open.fault} />
    case 'spoiled':
      return <SpoiledPanel {...props} />
    case 'stopped':
      return <StoppedPanel {...props} />
    case 'drum':
      return view.mounted ? (
        <AwayPanel {...props} {...placed} />
      ) : (
        <MountPanel {...props} onCode={deeds.scan} />
      )
    case 'away':
      return <AwayPanel {...props} {...placed} />
    case 'ran-out':
      return <RanOutPanel {...props} />
    case 'more':
      return <MoreLeftPanel {...props} />
    case 'serial':
      return <SerialPanel {...props} {...placed} serial={open.serial} tell={deeds.tell} />
  }
}
