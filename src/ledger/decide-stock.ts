import type { CommandOf } from './command.ts'
import type { LedgerContext } from './context.ts'
import type { EventBody } from './event.ts'
import { filledDrum, knownCable, knownDrum, stripOf } from './known.ts'
import { metres, refused } from './refuse.ts'
import type { LedgerState } from './state.ts'
import { inwardOf, outerUm, trueUm } from './strip-place.ts'

/**
 * Longest that a rest can be, in times of what its strip measured when it came in: beyond it the figure was mistyped. A choice of
 * this program, no source.
 */
const MOST_OF_STRIP = 20
/** A micrometre of the coordinate stays worth a millimetre at most: places on the rest could not be told apart any more. */
const MOST_RATIO = 1000

export function testLot(state: LedgerState, body: CommandOf<'test-lot'>, context: LedgerContext): EventBody {
  knownCable(context, body.cable)
  const row = state.lots.get(body.lot)
  if (row && row.cable !== body.cable)
    throw refused(`Lot ${body.lot} is of ${row.cable}, not of ${body.cable}.`)
  return { ...body, kind: 'lot-tested' }
}

export function holdDrum(state: LedgerState, body: CommandOf<'hold-drum'>): EventBody {
  knownDrum(state, body.drum)
  return { ...body, kind: 'drum-held' }
}

export function releaseDrum(state: LedgerState, body: CommandOf<'release-drum'>): EventBody {
  if (knownDrum(state, body.drum).status === 'free') throw refused(`${body.drum} is free already.`)
  return { ...body, kind: 'drum-released' }
}

export function moveDrum(state: LedgerState, body: CommandOf<'move-drum'>): EventBody {
  const { mountedOn } = knownDrum(state, body.drum)
  if (mountedOn !== null) throw refused(`${body.drum} is on ${mountedOn}; put it away there.`)
  return { ...body, kind: 'drum-moved' }
}

export function weighDrum(state: LedgerState, body: CommandOf<'weigh-drum'>): EventBody {
  const { drum, grossKg, tareKg } = body
  knownDrum(state, drum)
  if (grossKg < tareKg) throw refused(`${drum} weighs ${grossKg} kg with its cable and ${tareKg} kg without.`)
  return { ...body, kind: 'drum-weighed' }
}

export function countDrum(state: LedgerState, body: CommandOf<'count-drum'>): EventBody {
  return { ...body, kind: 'drum-counted', bookUm: trueUm(knownDrum(state, body.drum)) }
}

/**
 * However much less than booked there is, it can be so: the drum was booked wrong, or is another than was thought, and a person
 * has been asked. Of a drum that ran out the rest keeps its marks as they are printed, and its inner end is what was never there;
 * any other measurement says how long the whole of it is.
 */
export function measureRest(state: LedgerState, body: CommandOf<'measure-rest'>): EventBody {
  const { drum, how, uncUm, newRestUm } = body
  const row = filledDrum(state, drum)
  const { strip, fromUm, toUm } = row
  const oldRestUm = trueUm(row)
  if (how !== 'ran out' && newRestUm <= 0) throw refused(`A rest of nought has run out; book Ran out here.`)
  if (how === 'more left' && newRestUm <= oldRestUm)
    throw refused(`${drum} has ${metres(oldRestUm)} by the book; ${metres(newRestUm)} is not more.`)
  const measured = { drum, strip, fromUm, toUm, oldRestUm, newRestUm, uncUm, how }
  const outer = outerUm(row)
  const endUm = inwardOf(row, outer, newRestUm)
  if (how === 'ran out' && newRestUm > 0 && newRestUm < oldRestUm && endUm !== outer)
    return { kind: 'rest-measured', ...measured, ratio: newRestUm / Math.abs(endUm - outer), endUm }
  const ratio = newRestUm / (toUm - fromUm)
  if (ratio > MOST_RATIO || newRestUm > MOST_OF_STRIP * stripOf(state, row).lengthUm)
    throw refused(
      `${drum} has ${metres(oldRestUm)} by the book; ${metres(newRestUm)} is too far from it to be the same cable. Look at the drum again.`,
    )
  return { kind: 'rest-measured', ...measured, ratio }
}
