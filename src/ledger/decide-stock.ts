import type { CommandOf } from './command.ts'
import type { LedgerContext } from './context.ts'
import type { EventBody } from './event.ts'
import { filledDrum, knownCable, knownDrum } from './known.ts'
import { metres, refused } from './refuse.ts'
import type { LedgerState } from './state.ts'
import { trueUm } from './strip-place.ts'

/** A rest may turn out so many times longer or shorter than booked; beyond it something else is wrong: a choice of this program, no source. */
const MOST_RATIO = 20

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

export function measureRest(state: LedgerState, body: CommandOf<'measure-rest'>): EventBody {
  const { drum, how, uncUm } = body
  const row = filledDrum(state, drum)
  const { strip, fromUm, toUm } = row
  const oldRestUm = trueUm(row)
  const newRestUm = how === 'ran out' ? 0 : body.newRestUm
  if (how !== 'ran out' && newRestUm <= 0) throw refused(`A rest of nought has run out; book Ran out here.`)
  if (how === 'more left' && newRestUm <= oldRestUm)
    throw refused(`${drum} has ${metres(oldRestUm)} by the book; ${metres(newRestUm)} is not more.`)
  const ratio = newRestUm / (toUm - fromUm)
  if (ratio > MOST_RATIO || (newRestUm > 0 && ratio < 1 / MOST_RATIO))
    throw refused(
      `${drum} has ${metres(oldRestUm)} by the book; ${metres(newRestUm)} is too far from it to be the same cable. Look at the drum again.`,
    )
  return { kind: 'rest-measured', drum, strip, fromUm, toUm, oldRestUm, newRestUm, uncUm, how, ratio }
}
