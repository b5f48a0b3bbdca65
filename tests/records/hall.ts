import { onTestFinished } from 'vitest'
import type { Command, CommandBody, CommandOf, WantedPiece } from '../../src/ledger/command.ts'
import type { EventBody, LedgerEvent } from '../../src/ledger/event.ts'
import { type App, buildApp } from '../../src/server/app.ts'
import { readWholeFolder } from '../../src/server/kept-more.ts'
import type { Store } from '../../src/store/dialect.ts'
import { openStore } from '../../src/store/open-store.ts'
import type { CommandOutcome } from '../../src/works/floor-api.ts'
import { away as awayTo, received as receivedIn } from '../ledger/hall.ts'
import { DEMO } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'

export const CM = 10_000

/** A server with the demo works whose records are asked; things are booked at times that the test names. */
export class RecordHall {
  readonly app: App
  readonly db: Store
  readonly folder: string
  at = '2031-03-03T08:00:00.000Z'
  #key = 0

  private constructor(app: App, db: Store, folder: string) {
    this.app = app
    this.db = db
    this.folder = folder
  }

  static async open(): Promise<RecordHall> {
    const folder = await emptyFolder()
    const store = await openStore(folder, null)
    const app = await buildApp(store.db)
    onTestFinished(async () => {
      await app.http.close()
      await store.close()
    })
    await app.works.open(await readWholeFolder(DEMO))
    return new RecordHall(app, store.db, folder)
  }

  async ask<T>(url: string): Promise<T> {
    const answer = await this.app.http.inject({ url })
    if (answer.statusCode !== 200) throw new Error(`${answer.statusCode}: ${answer.body}`)
    return answer.json() as T
  }

  /** Books one command at `at`; throws where it is refused. */
  async book<K extends EventBody['kind']>(
    body: CommandBody,
  ): Promise<LedgerEvent & { body: { kind: K } & EventBody }> {
    const command: Command = {
      ...{ key: `t.${++this.#key}`, at: this.at, station: 'T1', planId: null, corrects: null, body },
    }
    const answer = await this.app.http.inject({
      ...{ method: 'POST', url: '/api/ledger/commands' },
      payload: { commands: [command], late: false },
    })
    if (answer.statusCode !== 200) throw new Error(`${answer.statusCode}: ${answer.body}`)
    const [outcome] = (answer.json() as { outcomes: CommandOutcome[] }).outcomes
    if (!outcome || !('event' in outcome)) throw new Error(JSON.stringify(outcome))
    return outcome.event as never
  }

  /** Cuts pieces and answers their serials. */
  async cut(drum: string, line: string, ...pieces: WantedPiece[]): Promise<string[]> {
    const { body } = await this.book({ kind: 'cut-pieces', drum, line, mounting: null, pieces })
    return body.kind === 'pieces-cut' ? body.pieces.map((p) => p.serial) : []
  }
}

export function received(
  drum: string,
  lengthM: number,
  change: Partial<CommandOf<'receive-drum'>> = {},
): CommandOf<'receive-drum'> {
  return receivedIn(drum, lengthM, { lot: 'LX1', ...change })
}

export function away(drum: string): CommandBody {
  return awayTo(drum, 'A02-2')
}
