import type { Command, CommandBody } from '../../src/ledger/command.ts'
import type { LedgerContext } from '../../src/ledger/context.ts'
import { openingCommands } from '../../src/ledger/opening.ts'
import { loadWorks } from '../../src/server/load-works.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import type { Store } from '../../src/store/dialect.ts'
import { appendCommands, type Outcome } from '../../src/store/ledger-append.ts'
import { openLedger } from '../../src/store/ledger-opening.ts'
import { piece } from '../ledger/hall.ts'
import { DEMO } from '../support/demo.ts'

export const AT = '2031-03-03T06:00:00.000Z'

export async function demoContext(): Promise<LedgerContext> {
  const { works } = loadWorks(await readWorksFolder(DEMO))
  return { works, today: works.site.works.todayDate, bookedAt: AT }
}

/** Books the drums of the demo works in. */
export function openBook(db: Store, context: LedgerContext): Promise<Outcome[]> {
  const { works } = context
  const commands = (known: ReadonlySet<string>) => openingCommands(works, known, AT)
  return openLedger(db, { name: works.site.works.name, commands, context })
}

export function command(key: string, body: CommandBody): Command {
  return { key, at: AT, station: 'T1', planId: null, corrects: null, body }
}

export function book(db: Store, context: LedgerContext, ...commands: Command[]): Promise<Outcome[]> {
  return appendCommands(
    db,
    commands.map((one) => ({ command: one, actor: 'anna' })),
    context,
  )
}

/** A free drum of the demo that holds at least so much, by the folder. */
export function drumOf({ works }: LedgerContext, leastM: number, not: string[] = []): string {
  const found = works.drums.find(
    (drum) => drum.status === 'free' && drum.bookUm > leastM * 1e6 && !not.includes(drum.drum),
  )
  if (!found) throw new Error(`no drum of ${leastM} m in the demo`)
  return found.drum
}

export function firstLine({ works }: LedgerContext): string {
  return works.site.lines[0]!.id
}

export function mount(key: string, drum: string, line: string): Command {
  return command(key, { kind: 'mount-drum', drum, line, mounting: null })
}

/** Coils for the shelf, by length alone. */
export function cut(key: string, drum: string, line: string, ...lengthsM: number[]): Command {
  const pieces = lengthsM.map((lengthM) => piece(lengthM, { putup: null, uncUm: 1_000 }))
  return command(key, { kind: 'cut-pieces', drum, line, mounting: null, pieces })
}
