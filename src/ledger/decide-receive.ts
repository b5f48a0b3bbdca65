import type { CommandOf } from './command.ts'
import type { LedgerContext } from './context.ts'
import type { EventBody } from './event.ts'
import { knownCable, knownPutup } from './known.ts'
import { nextNumber } from './next-number.ts'
import { metres, refused } from './refuse.ts'
import type { LedgerState } from './state.ts'
import type { StripMark } from './state-rows.ts'

/** A drum that comes in is a strip of its own name, its outer end the strip's nought. */
export function receiveDrum(
  state: LedgerState,
  body: CommandOf<'receive-drum'>,
  context: LedgerContext,
): EventBody {
  const { drum, lengthUm } = body
  knownCable(context, body.cable)
  knownPutup(context, body.putup)
  if (body.status !== 'free' && body.reason === null && body.origin === 'goods in')
    throw refused(`${drum} is to be held; say why.`)
  if (lengthUm <= 0) throw refused(`${drum} has no length.`)
  if (body.grossKg !== null && body.tareKg !== null && body.grossKg < body.tareKg)
    throw refused(`${drum} weighs ${body.grossKg} kg with its cable and ${body.tareKg} kg without.`)
  checkMarks(drum, lengthUm, body.marks)
  checkFaults(state, body)
  if (state.drums.get(drum)) throw refused(`The ledger has a drum ${drum} already.`)
  if (state.strips.get(drum)) throw refused(`The ledger has a strip ${drum} already.`)
  let given = 0
  const faults = body.faults.map((f) => ({ ...f, fault: f.fault ?? nextNumber(state, 'fault', given++) }))
  return { ...body, kind: 'drum-received', faults }
}

function checkMarks(drum: string, lengthUm: number, marks: StripMark[]): void {
  let atUm = 0
  for (const mark of marks) {
    if (mark.fromUm !== atUm || mark.toUm <= mark.fromUm)
      throw refused(`The marks of ${drum} do not follow on each other at ${metres(atUm)}.`)
    if (
      (mark.markFrom === null) !== (mark.markTo === null) ||
      (mark.markFrom === null) !== (mark.printUnit === 'none')
    )
      throw refused(
        `The marks of ${drum} from ${metres(atUm)} on: both marks and their unit, or none of them.`,
      )
    atUm = mark.toUm
  }
  if (atUm !== lengthUm)
    throw refused(`The marks of ${drum} end at ${metres(atUm)}; the drum has ${metres(lengthUm)}.`)
}

function checkFaults(state: LedgerState, { drum, lengthUm, faults }: CommandOf<'receive-drum'>): void {
  const named = new Set<string>()
  for (const { fault, fromUm, toUm } of faults) {
    if (fromUm > toUm || fromUm < 0 || toUm > lengthUm)
      throw refused(
        `Fault ${fault ?? 'without a number'} from ${metres(fromUm)} to ${metres(toUm)} does not lie on ${drum} with its ${metres(lengthUm)}.`,
      )
    if (fault === null) continue
    if (state.faults.get(fault) || named.has(fault)) throw refused(`There is a fault ${fault} already.`)
    named.add(fault)
  }
}
