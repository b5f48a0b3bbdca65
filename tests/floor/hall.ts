import { onTestFinished } from 'vitest'
import type { Command, CommandBody } from '../../src/ledger/command.ts'
import type { LedgerEvent } from '../../src/ledger/event.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import type { LengthUm } from '../../src/quantity/length.ts'
import { type App, buildApp } from '../../src/server/app.ts'
import { readWholeFolder } from '../../src/server/kept-more.ts'
import { loadWorks } from '../../src/server/load-works.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { ALONE } from '../../src/server/sharing.ts'
import { planWorks } from '../../src/solver/plan-works.ts'
import type { Store } from '../../src/store/dialect.ts'
import { openStore } from '../../src/store/open-store.ts'
import { addPlan, endPlan } from '../../src/store/plans.ts'
import type { CommandOutcome, FloorView } from '../../src/works/floor-api.ts'
import { DEMO } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'

let planned: Promise<{ input: PlanInput; plan: Plan }> | null = null

/** A plan of the demo works by work done, not by time: always the same. Made once for each test file. */
export function demoPlan(): Promise<{ input: PlanInput; plan: Plan }> {
  planned ??= makePlan()
  return planned
}

async function makePlan() {
  const input = loadWorks(await readWorksFolder(DEMO)).works
  let tick = 0
  const plan = await planWorks(input, {
    ...{ seconds: 60, work: 3_000, seed: 1 },
    nowMs: () => tick++,
    stopped: () => false,
    onProgress: () => undefined,
  })
  return { input, plan }
}

/** Stores the plan as one of the first version of the works; answers its number. */
export async function storePlan(db: Store): Promise<number> {
  const { plan } = await demoPlan()
  const row = { works_version: 1, made_at: '2031-11-25T06:00:00.000Z', seconds: 1, seed: 1 }
  const planId = await addPlan(db, row)
  await endPlan(db, planId, { state: 'done', planJson: JSON.stringify(plan), message: null })
  return planId
}

/** A fault that the spark tester finds at one place by the counter, and that has to be cut out. */
export function faultAt(drum: string, atUm: LengthUm, line = 'RW-1'): CommandBody {
  return {
    ...{ kind: 'find-fault', drum, code: 'SPK', severity: 'cut_out', what: null, line },
    ...{ signal: false, foundAt: null, place: { by: 'counter', fromUm: atUm, toUm: atUm } },
  }
}

/** The server with the demo, a plan of it stored, and a station that books. */
export class Hall {
  readonly app: App
  readonly planId: number
  readonly #station: string
  #key = 0

  constructor(app: App, planId: number, station = 't') {
    this.app = app
    this.planId = planId
    this.#station = station
  }

  static async open(folder = DEMO, sharing = ALONE): Promise<Hall> {
    const store = await openStore(await emptyFolder())
    const app = await buildApp(store.db, { sharing })
    onTestFinished(async () => {
      await app.http.close()
      await store.close()
    })
    await app.works.open(await readWholeFolder(folder))
    return new Hall(app, await storePlan(store.db))
  }

  command(body: CommandBody): Command {
    return {
      key: `${this.#station}.${++this.#key}`,
      at: '2031-11-25T07:00:00.000Z',
      station: 'test',
      planId: this.planId,
      corrects: null,
      body,
    }
  }

  async send(commands: Command[], late = false): Promise<CommandOutcome[]> {
    const answer = await this.app.http.inject({
      ...{ method: 'POST', url: '/api/ledger/commands' },
      payload: { commands, late },
    })
    if (answer.statusCode !== 200) throw new Error(`${answer.statusCode}: ${answer.body}`)
    return (answer.json() as { outcomes: CommandOutcome[] }).outcomes
  }

  /** Books one command; throws where it is refused. */
  async book(body: CommandBody): Promise<LedgerEvent> {
    const [outcome] = await this.send([this.command(body)])
    if (!outcome || !('event' in outcome)) throw new Error(JSON.stringify(outcome))
    return outcome.event
  }

  async release(): Promise<LedgerEvent> {
    return this.book({
      ...{ kind: 'release-plan', planId: this.planId, worksVersion: 1, cause: 'planned', origins: [] },
    })
  }

  async view(line: string): Promise<FloorView> {
    const answer = await this.app.http.inject({ url: `/api/floor?line=${line}` })
    if (answer.statusCode !== 200) throw new Error(`${answer.statusCode}: ${answer.body}`)
    return answer.json() as FloorView
  }
}
