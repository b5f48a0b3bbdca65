import type { CommandBody } from '../../../ledger/command.ts'
import type { FloorView } from '../../../works/floor-api.ts'
import type { LineView } from './advance-view.ts'
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

export interface ScanContext {
  /** The panel that is open. */
  open: NonNullable<Open>['panel'] | null
  cutNeedsPlace: boolean
  /** The server does not answer: only drums that this station was told of can be mounted. */
  away: boolean
}

/**
 * What a scan does at a line: a drum is mounted where it is the one wanted, a piece is shown, a place goes where one is
 * asked for.
 */
export function scanDeed(code: string, view: LineView, { open, cutNeedsPlace, away }: ScanContext): ScanDeed {
  const scanned = scannedCode(code)
  if (scanned.is === 'serial') return { open: { panel: 'serial', serial: scanned.serial } }
  if (scanned.is === 'mounting') return scannedMounting(scanned.number, view)
  const name = scanned.is === 'drum' ? scanned.drum : scanned.text
  const known = name === view.nextDrum?.drum || code === view.nextDrum?.code || name === view.mounted?.drum
  if (scanned.is === 'other' && !known) {
    // with a drum on the line, a drum change begins with where that one goes
    const asked = open === 'drum' ? view.mounted !== null : open !== null && FOR_PLACE.has(open)
    if (asked) return { place: name }
    if (cutNeedsPlace) return { cutPlace: name }
  }
  return scannedDrum(code === view.nextDrum?.code ? view.nextDrum.drum : name, view, away)
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

function scannedDrum(drum: string, view: LineView, away: boolean): ScanDeed {
  const { mounted, nextDrum, line } = view
  if (mounted?.drum === drum) return { say: `${drum} is on the line already.` }
  if (mounted)
    return { say: `${mounted.drum} is on the line. Put it away first (W), then scan ${drum} again.` }
  if (away && !view.ahead.some((a) => a.drum.drum === drum)) return { say: unknownText(drum, view) }
  if (nextDrum && nextDrum.drum !== drum)
    return {
      say: `${drum} is not the drum wanted here. Wanted: ${nextDrum.drum}${nextDrum.place ? `, at ${nextDrum.place}` : ''}.`,
    }
  const body = { kind: 'mount-drum' as const, drum, line, mounting: nextDrum?.mounting ?? null }
  return { record: body, words: `${drum} on ${line}` }
}

function unknownText(drum: string, { nextDrum, ahead }: LineView): string {
  const kept = ahead.map((a) => a.drum.drum).join(', ')
  const wanted = nextDrum && nextDrum.drum !== drum ? ` Wanted: ${nextDrum.drum}.` : ''
  return `${drum} is not known here without the network, so it cannot be mounted until the server answers. Known: ${kept || 'no drum'}.${wanted}`
}
