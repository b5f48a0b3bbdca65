import type { Command } from '../ledger/command.ts'
import type { LedgerContext } from '../ledger/context.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from './dialect.ts'
import { appendWithin, lockHead, type Outcome } from './ledger-append.ts'

/** Account that stock of the works folder is booked for. */
const OPENING_ACTOR = 'ledger'

export interface Opening {
  /** Of the works. */
  name: string
  /** What books in the drums and finished pieces that are not yet known, given all drums and strips that are. */
  commands: (known: ReadonlySet<string>) => Command[]
  context: LedgerContext
}

/**
 * Gives the ledger to a works and books in its drums that the ledger does not know, as a whole or not at all.
 * Throws 'ledger-elsewhere' where it belongs to another works.
 */
export async function openLedger(db: Store, { name, commands, context }: Opening): Promise<Outcome[]> {
  return db.transaction().execute(async (trx) => {
    const head = await lockHead(trx)
    if (head.works !== null && head.works !== name) throw elsewhere(head.works, name)
    if (head.works === null)
      await trx.updateTable('ledger_head').set({ works: name }).where('id', '=', 1).execute()
    const drums = await trx.selectFrom('drum').select('drum').execute()
    const strips = await trx.selectFrom('strip').select('strip').execute()
    const known = new Set([...drums.map(({ drum }) => drum), ...strips.map(({ strip }) => strip)])
    const booked = commands(known).map((command) => ({
      command,
      actor: OPENING_ACTOR,
    }))
    const outcomes = await appendWithin(trx, booked, context)
    for (const outcome of outcomes) {
      if ('refused' in outcome) throw new LastmetreError('command-refused', outcome.refused.message)
    }
    return outcomes
  })
}

/** Throws 'ledger-elsewhere' where there is a ledger and it belongs to another works. */
export async function refuseOtherWorks(db: Store, name: string): Promise<void> {
  const head = await db
    .selectFrom('ledger_head')
    .select('works')
    .where('id', '=', 1)
    .executeTakeFirstOrThrow()
  if (head.works !== null && head.works !== name) throw elsewhere(head.works, name)
}

function elsewhere(owner: string, name: string): LastmetreError {
  return new LastmetreError(
    'ledger-elsewhere',
    `The ledger of this data folder belongs to ${owner}; ${name} cannot be opened on it.`,
  )
}
