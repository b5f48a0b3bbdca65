import { groupBy } from '../quantity/group-by.ts'
import { lengthText } from '../quantity/length-text.ts'
import { ownUm } from './lead-share.ts'
import { readSerial, serialsOfYear } from './serial.ts'
import type { LedgerState } from './state.ts'
import type { DrumRow, MovementRow, PieceRow, StretchRow, StripRow } from './state-rows.ts'
import { trueUm } from './strip-place.ts'

/**
 * What is not as it must be in a whole ledger, a sentence each; empty where every metre is accounted for. `state` holds
 * every row and every movement since the first event.
 *
 * - The stretches of a strip partition it: none overlaps, none is missing.
 * - What lies on a drum is one stretch of its own; an empty drum is on no line, and a line has one drum.
 * - A piece is one stretch of its own, as long as it was measured; what was scrapped is scrap, what is stock again a drum's.
 *   Leads lie in their bench length, no more of them than it was cut for.
 * - Serials of a year run without a gap.
 * - Of each strip: received + book error is what its stretches add up to, and received + book error + returned is what
 *   was shipped, given over, scrapped, trimmed and sampled, and what is still here. All to the micrometre.
 */
export function broken(state: LedgerState): string[] {
  const stretches = byRef(state)
  const here = new Map<string, number>()
  const leads = leadsOf(state)
  return [
    ...[...state.strips.rows()].flatMap((strip) =>
      brokenStrip(strip, state.stretches.get(strip.strip) ?? []),
    ),
    ...brokenDrums(state, stretches, here),
    ...[...state.pieces.rows()].flatMap((piece) =>
      brokenPiece(state, piece, { stretches, here, leads: leads.get(piece.serial) ?? 0 }),
    ),
    ...ownerless(state, stretches),
    ...brokenSerials(state),
    ...brokenSums(state, here),
  ]
}

function byRef(state: LedgerState): Map<string, StretchRow[]> {
  const named = [...state.stretches.rows()].flat().filter((s) => s.ref !== null)
  return groupBy(named, (s) => s.ref as string)
}

function brokenStrip({ strip, lengthUm }: StripRow, stretches: StretchRow[]): string[] {
  const wrong: string[] = []
  let atUm = 0
  for (const { fromUm, toUm, ratio } of stretches) {
    if (fromUm > atUm)
      wrong.push(`Strip ${strip}: ${metres(fromUm - atUm)} from ${metres(atUm)} on are missing.`)
    if (fromUm < atUm) wrong.push(`Strip ${strip}: stretches overlap at ${metres(fromUm)}.`)
    if (!(toUm > fromUm) || !Number.isSafeInteger(fromUm) || !Number.isSafeInteger(toUm))
      wrong.push(`Strip ${strip}: the stretch at ${metres(fromUm)} has no length.`)
    if (!(ratio >= 0 && Number.isFinite(ratio)))
      wrong.push(`Strip ${strip}: the stretch at ${metres(fromUm)} has no ratio.`)
    atUm = Math.max(atUm, toUm)
  }
  if (atUm !== lengthUm)
    wrong.push(`Strip ${strip}: its stretches end at ${metres(atUm)}, the strip at ${metres(lengthUm)}.`)
  return wrong
}

type Stretches = Map<string, StretchRow[]>

function brokenDrums(state: LedgerState, stretches: Stretches, here: Map<string, number>): string[] {
  const wrong: string[] = []
  const onLine = new Map<string, string>()
  for (const row of state.drums.rows()) {
    const { drum, strip, mountedOn } = row
    const own = (stretches.get(drum) ?? []).filter((s) => s.use === 'drum')
    wrong.push(...brokenDrum(row, own))
    for (const stretch of own) here.set(strip, (here.get(strip) ?? 0) + trueUm(stretch))
    if (mountedOn === null) continue
    const other = onLine.get(mountedOn)
    if (other !== undefined) wrong.push(`${mountedOn} has two drums on it: ${other} and ${drum}.`)
    onLine.set(mountedOn, drum)
  }
  return wrong
}

function brokenDrum({ drum, strip, fromUm, toUm, ratio, mountedOn }: DrumRow, own: StretchRow[]): string[] {
  if (fromUm === toUm) {
    const wrong = own.length > 0 ? [`Drum ${drum} is empty, yet a stretch of ${strip} lies on it.`] : []
    if (mountedOn !== null) wrong.push(`Drum ${drum} is empty, yet on ${mountedOn}.`)
    return wrong
  }
  const [only, second] = own
  const is =
    only &&
    !second &&
    only.strip === strip &&
    only.fromUm === fromUm &&
    only.toUm === toUm &&
    only.ratio === ratio
  return is
    ? []
    : [`Drum ${drum} says ${metres(fromUm)} to ${metres(toUm)} of ${strip}; the strip says otherwise.`]
}

interface Around {
  stretches: Stretches
  /** True length that is still in the works, by strip. */
  here: Map<string, number>
  /** Leads that were made of it. */
  leads: number
}

function brokenPiece(state: LedgerState, row: PieceRow, { stretches, here, leads }: Around): string[] {
  const { serial, strip, fromUm, toUm, measuredUm, where, parent } = row
  const done = row.leadsDone ?? 0
  if (where === 'hall' || where === 'shelf') here.set(strip, (here.get(strip) ?? 0) + ownUm(row))
  if (leads > done || done > row.count)
    return [`Of ${serial} ${leads} leads were made; it is booked with ${done} of ${row.count}.`]
  if (parent !== null) {
    const of = state.pieces.get(parent)
    const inside = of && of.strip === strip && of.fromUm === fromUm && of.toUm === toUm
    return inside ? [] : [`Lead ${serial} does not lie in its bench length ${parent}.`]
  }
  const own = (stretches.get(serial) ?? []).filter((s) => s.use === 'piece' || s.use === 'scrap')
  if (where === 'restocked')
    return own.length > 0 ? [`${serial} is stock again, yet a stretch of ${strip} is its.`] : []
  const [only, second] = own
  if (!only || second || only.strip !== strip || only.fromUm !== fromUm || only.toUm !== toUm)
    return [`${serial} says ${metres(fromUm)} to ${metres(toUm)} of ${strip}; the strip says otherwise.`]
  if ((only.use === 'scrap') !== (where === 'scrapped'))
    return [`${serial} is ${where}; the strip says ${only.use}.`]
  return trueUm(only) === measuredUm
    ? []
    : [`${serial} measures ${metres(measuredUm)}; its stretch has ${metres(trueUm(only))}.`]
}

function leadsOf(state: LedgerState): Map<string, number> {
  const leads = new Map<string, number>()
  for (const { parent } of state.pieces.rows())
    if (parent !== null) leads.set(parent, (leads.get(parent) ?? 0) + 1)
  return leads
}

function ownerless(state: LedgerState, stretches: Stretches): string[] {
  const wrong: string[] = []
  for (const [ref, rows] of stretches)
    for (const { use, strip, fromUm } of rows)
      if (use === 'drum' ? !state.drums.get(ref) : !state.pieces.get(ref))
        wrong.push(`Strip ${strip}: the ${use} ${ref} at ${metres(fromUm)} is nowhere.`)
  return wrong
}

/** Numbers below those of pieces that were taken over from a ledger before this one may be wanting. */
function brokenSerials(state: LedgerState): string[] {
  const years = new Map<string, { given: Set<number>; taken: number }>()
  for (const row of state.pieces.rows()) {
    const serial = readSerial(row.serial)
    if (!serial) continue
    const year = years.get(serial.year) ?? { given: new Set<number>(), taken: 0 }
    years.set(serial.year, year)
    year.given.add(serial.running)
    if (row.drum === row.serial) year.taken = Math.max(year.taken, serial.running)
  }
  const wrong: string[] = []
  for (const [year, { given, taken }] of years) {
    const last = state.head.given[serialsOfYear(year)] ?? 0
    for (const running of given)
      if (running > last) wrong.push(`Serial ${running} of year ${year} was never given out.`)
    for (let n = taken + 1; n <= last; n++)
      if (!given.has(n)) wrong.push(`Serial ${n} of year ${year} is on no piece.`)
  }
  return wrong
}

type Sums = Partial<Record<MovementRow['what'], number>>

function brokenSums(state: LedgerState, here: Map<string, number>): string[] {
  const sums = new Map<string, Sums>()
  for (const { strip, what, um } of state.movements) {
    const sum = sums.get(strip) ?? {}
    sum[what] = (sum[what] ?? 0) + um
    sums.set(strip, sum)
  }
  const wrong: string[] = []
  for (const { strip, lengthUm } of state.strips.rows()) {
    const sum = sums.get(strip) ?? {}
    const of = (...whats: MovementRow['what'][]) => whats.reduce((total, what) => total + (sum[what] ?? 0), 0)
    const stretches = state.stretches.get(strip) ?? []
    const trueOf = (use?: StretchRow['use']) =>
      stretches.reduce((total, s) => total + (use === undefined || s.use === use ? trueUm(s) : 0), 0)
    const equal = (what: string, booked: number, is: number) => {
      if (booked !== is)
        wrong.push(`Strip ${strip}: ${what} ${booked} µm by the movements, ${is} µm by the strip.`)
    }
    equal('received', of('received'), lengthUm)
    equal('in all', of('received', 'book error'), trueOf())
    equal('trimmed', of('trim'), trueOf('trim'))
    equal('sampled', of('sample'), trueOf('sample'))
    const out = of('shipped', 'over-length', 'scrap', 'trim', 'sample') - of('returned')
    equal('still here', of('received', 'book error') - out, here.get(strip) ?? 0)
  }
  return wrong
}

function metres(um: number): string {
  return lengthText(um, 'm', 6)
}
