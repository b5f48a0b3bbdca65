import { useMemo } from 'react'
import { type Receipt, receiptCommand, receiptWitnesses, usualWitness } from '../../ledger/receipt.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import { type GoodsInDraft, receiptOf } from './goods-in-draft.ts'

/** What follows from the draft: witnesses, the one it is booked by, and the record. */
export interface ReadyReceipt {
  receipt: Receipt
  witnesses: ReturnType<typeof receiptWitnesses>
  how: ReturnType<typeof usualWitness>
  command: Extract<ReturnType<typeof receiptCommand>, { command: unknown }>['command'] | null
  wrong: string[]
}

export function useReceipt(draft: GoodsInDraft, input: PlanInput): ReadyReceipt {
  return useMemo(() => {
    const receipt = receiptOf(draft, input.site.works.todayDate)
    const cable = input.cables.find((c) => c.cable === receipt.cable)
    const witnesses = cable ? receiptWitnesses(receipt, cable) : {}
    const how = draft.how !== '' && witnesses[draft.how] ? draft.how : usualWitness(witnesses)
    const witness = how && witnesses[how]
    if (!how || !witness)
      return {
        ...{ receipt, witnesses, how: null, command: null },
        wrong: ['Nothing says how long it is: give the note, both marks, or the weight.'],
      }
    const made = receiptCommand(receipt, how, witness)
    return 'wrong' in made
      ? { receipt, witnesses, how, command: null, wrong: made.wrong }
      : { receipt, witnesses, how, command: made.command, wrong: [] }
  }, [draft, input])
}
