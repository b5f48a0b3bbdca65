import { randomUUID } from 'node:crypto'
import type { LedgerContext } from '../ledger/context.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { appendWithin } from '../store/ledger-append.ts'
import type { Audit } from './accounts-desk.ts'

/**
 * What is done with accounts becomes events of the ledger, in the transaction that does it: neither is there without the
 * other. Needs no works: the first owner may come before the first works. `station`: where it is done.
 */
export function auditAt(station: string): Audit {
  return async (trx, body, actor) => {
    const bookedAt = new Date().toISOString()
    const command = {
      key: `${station.replaceAll(' ', '-')}-${randomUUID()}`,
      at: bookedAt,
      station,
      planId: null,
      corrects: null,
      body,
    }
    const context: LedgerContext = {
      get works(): PlanInput {
        throw new LastmetreError('no-works', 'No works is open.')
      },
      today: bookedAt.slice(0, 10),
      bookedAt,
    }
    const [outcome] = await appendWithin(trx, [{ command, actor }], context)
    if (outcome !== undefined && 'refused' in outcome) {
      throw new LastmetreError(outcome.refused.code, outcome.refused.message)
    }
  }
}
