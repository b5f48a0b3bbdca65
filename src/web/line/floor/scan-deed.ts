import type { CommandBody } from '../../../ledger/command.ts'
import type { FloorView } from '../../../works/floor-api.ts'
import type { Open } from './floor-record.ts'
import { scannedCode } from './scan-code.ts'

export type ScanDeed =
  | { record: CommandBody; words: string }
  | { open: Open }
  /** For the open panel. */
  | { place: string }
  /** For the cut in hand, which needs one. */
  | { cutPlace: string }
  | { say: string }

/** Panels in which what is scanned is a store place. */
const FOR_PLACE: ReadonlySet<string> = new Set(['away', 'serial'])

/**
 * What a scan does at a line: a drum is mounted where it is the one wanted, a piece is shown, a place goes where one is
 * asked for. `open`: the panel that is open.
 */
export function scanDeed(
  code: string,
  view: FloorView,
  open: NonNullable<Open>['panel'] | null,
  cutNeedsPlace: boolean,
): ScanDeed {
  const scanned = scannedCode(code)
  if (scanned.is === 'serial') return { open: { panel: 'serial', serial: scanned.serial } }
  if (scanned.is === 'mounting') return scannedMounting(scanned.number, view)
  const name = scanned.is === 'drum' ? scanned.drum : scanned.text
  const known = name === view.nextDrum?.drum || code === view.nextDrum?.code || name === view.mounted?.drum
  if (scanned.is === 'other' && !known) {
    if (open !== null && FOR_PLACE.has(open)) return { place: name }
    if (cutNeedsPlace) return { cutPlace: name }
  }
  return scannedDrum(code === view.nextDrum?.code ? view.nextDrum.drum : name, view)
}

function scannedMounting(number: number, view: FloorView): ScanDeed {
  const { mounted, nextDrum } = view
  if (mounted?.mounting === number)
    return { say: `Run sheet ${number} is the one of ${mounted.drum}, which is on the line.` }
  if (nextDrum?.mounting === number)
    return { say: `Run sheet ${number} is for ${nextDrum.drum}: scan the drum itself.` }
  const wanted = mounted ?? nextDrum
  return {
    say: `Run sheet ${number} is not wanted here now${wanted?.mounting ? `; number ${wanted.mounting} is, for ${wanted.drum}` : ''}.`,
  }
}

function scannedDrum(drum: string, view: FloorView): ScanDeed {
  const { mounted, nextDrum, line } = view
  if (mounted?.drum === drum) return { say: `${drum} is on the line already.` }
  if (mounted)
    return { say: `${mounted.drum} is on the line. Put it away first (W), then scan ${drum} again.` }
  if (nextDrum && nextDrum.drum !== drum)
    return {
      say: `${drum} is not the drum wanted here. Wanted: ${nextDrum.drum}${nextDrum.place ? `, at ${nextDrum.place}` : ''}.`,
    }
  const body = { kind: 'mount-drum' as const, drum, line, mounting: nextDrum?.mounting ?? null }
  return { record: body, words: `${drum} on ${line}` }
}
