import { useEffect, useRef, useState } from 'react'
import type { CommandBody } from '../../../ledger/command.ts'
import { outbox } from '../../outbox/use-outbox.ts'
import { tagsOfRecord } from '../../outbox/waiting-record.ts'
import { type CutRecord, cutRecord, NOTHING_TYPED, type TypedCut } from './cut-record.ts'
import { cutWords } from './cut-text.ts'
import type { Open } from './floor-record.ts'
import type { FloorState, FloorStation } from './floor-station.ts'
import { type ScanContext, scanDeed } from './scan-deed.ts'
import { tagsText } from './waiting-records.tsx'

export interface FloorDeeds {
  typed: TypedCut
  times: number
  /** What would be booked now; null where nothing is to be cut. */
  cutBooked: CutRecord | null
  open: Open
  /** A store place that was typed or scanned into the open panel. */
  place: string
  /** What was done last, or why it was not. */
  said: { text: string; wrong: boolean }
  /** The fault that was booked last here, so that it can be placed better. */
  lastFault: { fault: string; words: string } | null
  type: (typed: TypedCut) => void
  setTimes: (times: number) => void
  setOpen: (open: Open) => void
  setPlace: (place: string) => void
  record: (body: CommandBody, words: string) => Promise<boolean>
  recordCut: () => void
  scan: (code: string) => void
  tell: (text: string, wrong?: boolean) => void
}

/** Two presses so close together are one. */
const TWICE_MS = 500

/** What is done at one line: typed, scanned, recorded. */
export function useFloorDeeds(station: FloorStation | null, state: FloorState): FloorDeeds {
  const [typed, setTyped] = useState(NOTHING_TYPED)
  const [times, setTimes] = useState(1)
  const [open, setOpenPanel] = useState<Open>(null)
  const [place, setPlace] = useState('')
  const [said, setSaid] = useState({ text: '', wrong: false })
  const cutAtMs = useRef(Number.NEGATIVE_INFINITY)
  const lastFault = useLastFault()
  const { view, cut, wanted } = state
  // until a person takes the new plan, only the cut in hand is known to be run
  const shown = view && cut ? { ...view, cuts: wanted === null ? [cut, ...view.cuts.slice(1)] : [cut] } : null
  const cutBooked = shown ? cutRecord(shown, typed, Math.max(1, times)) : null
  const tell = (text: string, wrong = false) => setSaid({ text, wrong })

  const setOpen = (next: Open) => {
    setPlace('')
    setOpenPanel(next)
  }

  async function record(body: CommandBody, words: string): Promise<boolean> {
    if (!station) return false
    try {
      const kept = await station.record({ body, words })
      tell(keptText(words, isAway(state) ? tagsOfRecord(kept) : null))
      setTyped(NOTHING_TYPED)
      setTimes(1)
      setOpen(null)
      return true
    } catch (error) {
      tell(`Not recorded: ${error instanceof Error ? error.message : String(error)}`, true)
      return false
    }
  }

  function recordCut(): void {
    // a glove that taps twice means one cut
    if (!cut || !cutBooked || performance.now() - cutAtMs.current < TWICE_MS) return
    if ('wrong' in cutBooked) tell(cutBooked.wrong, true)
    // nothing is cut: the drum goes away with what is on it, and its place is asked for
    else if (cut.asShown.kind === 'put-drum-away') setOpen({ panel: 'away' })
    else if (cutBooked.needsPlace) {
      document.getElementById('read-place')?.focus()
      tell('Scan or type its place first.', true)
    } else {
      cutAtMs.current = performance.now()
      void record(cutBooked.body, cutWords(cut, Math.max(1, times)))
    }
  }

  function scan(code: string): void {
    if (!view) return
    const deed = scanDeed(code, view, scanContext(open, cutBooked, state))
    if ('record' in deed) void record(deed.record, deed.words)
    if ('open' in deed) setOpen(deed.open)
    if ('place' in deed) setPlace(deed.place)
    if ('cutPlace' in deed) setTyped((before) => ({ ...before, place: deed.cutPlace }))
    if ('say' in deed) tell(deed.say, true)
  }

  return {
    ...{ typed, times, cutBooked, open, place, said, lastFault, setTimes, setOpen, setPlace },
    type: setTyped,
    record,
    recordCut,
    scan,
    tell,
  }
}

function isAway(state: FloorState): boolean {
  return state.offline || outbox().state.line === 'offline'
}

function scanContext(open: Open, cutBooked: CutRecord | null, state: FloorState): ScanContext {
  const cutNeedsPlace = cutBooked !== null && asksPlace(cutBooked)
  return { open: open?.panel ?? null, cutNeedsPlace, away: isAway(state) }
}

/** `tags`: what is to be written on the coils while the server is away; null where it answers. */
function keptText(words: string, tags: string[] | null): string {
  if (tags === null) return `Recorded: ${words}.`
  if (tags.length === 0) return `Kept: ${words}.`
  return `Kept: ${words}. Write ${tagsText(tags)} on the coil${tags.length > 1 ? 's' : ''}.`
}

/** What is wound off goes somewhere, whatever place stands there already. */
function asksPlace(booked: CutRecord): boolean {
  return 'body' in booked && booked.body.kind === 'wind-off'
}

function useLastFault(): FloorDeeds['lastFault'] {
  const [fault, setFault] = useState<FloorDeeds['lastFault']>(null)
  useEffect(
    () =>
      outbox().onAnswer((answers) => {
        for (const { event, words } of answers) {
          if (event?.body.kind === 'fault-found') setFault({ fault: event.body.fault, words })
          if (event?.body.kind === 'fault-placed') setFault(null)
        }
      }),
    [],
  )
  return fault
}
