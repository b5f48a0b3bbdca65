import type { CommandOf } from './command.ts'
import type { LedgerContext } from './context.ts'
import type { EventBody } from './event.ts'
import { filledDrum, knownDrum, knownLine } from './known.ts'
import { refused } from './refuse.ts'
import type { LedgerState } from './state.ts'
import type { DrumRow } from './state-rows.ts'

export function releasePlan(state: LedgerState, body: CommandOf<'release-plan'>): EventBody {
  for (const { drum, strip } of body.origins)
    if (knownDrum(state, drum).strip !== strip) throw refused(`${drum} does not hold the strip ${strip}.`)
  return { ...body, kind: 'plan-released' }
}

/** A held drum may only be mounted by hand, outside the plan: to take a sample of it or to wind it over. */
export function mountDrum(
  state: LedgerState,
  body: CommandOf<'mount-drum'>,
  context: LedgerContext,
): EventBody {
  const { drum, line, mounting } = body
  knownLine(context, line)
  const row = filledDrum(state, drum)
  if (row.mountedOn === line) throw refused(`${drum} is on ${line} already.`)
  if (row.mountedOn !== null) throw refused(`${drum} is on ${row.mountedOn}; put it away there first.`)
  const there = mountedDrum(state, line)
  if (there) throw refused(`${line} has ${there.drum} on it; put that away first.`)
  if (mounting !== null) notHeld(row)
  return { ...body, kind: 'drum-mounted' }
}

/** An empty drum has left its line already; it may still be told where the empty one goes. */
export function putDrumAway(
  state: LedgerState,
  body: CommandOf<'put-drum-away'>,
  context: LedgerContext,
): EventBody {
  const { drum, line } = body
  if (line !== null) knownLine(context, line)
  const row = knownDrum(state, drum)
  const empty = row.fromUm === row.toUm
  if (row.mountedOn === null && !empty)
    throw refused(`${drum} is on no line${row.place === null ? '' : `; it lies at ${row.place}`}.`)
  if (row.mountedOn !== null && line !== null && row.mountedOn !== line)
    throw refused(`${drum} is on ${row.mountedOn}, not on ${line}.`)
  return { ...body, kind: 'drum-put-away', line: row.mountedOn ?? line }
}

export function stopLine(
  _state: LedgerState,
  body: CommandOf<'stop-line'>,
  context: LedgerContext,
): EventBody {
  knownLine(context, body.line)
  return { ...body, kind: 'line-stopped' }
}

export function mountedDrum(state: LedgerState, line: string): DrumRow | undefined {
  for (const row of state.drums.rows()) if (row.mountedOn === line) return row
  return undefined
}

/** The drum where it is mounted on this line and has cable on it. */
export function drumOnLine(state: LedgerState, context: LedgerContext, drum: string, line: string): DrumRow {
  knownLine(context, line)
  const row = filledDrum(state, drum)
  if (row.mountedOn === line) return row
  if (row.mountedOn !== null) throw refused(`${drum} is on ${row.mountedOn}, not on ${line}.`)
  const there = mountedDrum(state, line)
  throw refused(
    there
      ? `${drum} is not on ${line}; ${there.drum} is. Put that away and mount ${drum} first.`
      : `${drum} is not on ${line}; mount it first.`,
  )
}

export function notHeld({ drum, status, reason }: DrumRow): void {
  if (status === 'free') return
  const why = reason === null ? '' : `: ${reason}`
  const now = { qc_hold: 'on hold', customer_sample: "a customer's sample", reserved: 'reserved' }[status]
  throw refused(`${drum} is ${now}${why}. It has to be released first.`)
}
