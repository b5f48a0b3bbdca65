import { applyEvent } from '../../src/ledger/apply.ts'
import type { Command, CommandBody, CommandOf, WantedPiece } from '../../src/ledger/command.ts'
import { broken } from '../../src/ledger/conserve.ts'
import type { LedgerContext } from '../../src/ledger/context.ts'
import { correctedSeq, decide } from '../../src/ledger/decide.ts'
import type { EventBody, LedgerEvent } from '../../src/ledger/event.ts'
import { eventText } from '../../src/ledger/event-text.ts'
import { LedgerState } from '../../src/ledger/state.ts'
import type { MovementRow } from '../../src/ledger/state-rows.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { LastmetreError } from '../../src/quantity/errors.ts'
import { loadWorks } from '../../src/server/load-works.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { DEMO } from '../support/demo.ts'

export const M = 1_000_000

const AT = '2031-03-03T06:00:00.000Z'

export async function demoWorks(): Promise<PlanInput> {
  return loadWorks(await readWorksFolder(DEMO)).works
}

/** A hall without a database: commands are decided and applied one after the other. */
export class Hall {
  readonly state = new LedgerState()
  readonly events: LedgerEvent[] = []
  readonly context: LedgerContext

  constructor(works: PlanInput, today = '2031-03-03') {
    this.context = { works, today, bookedAt: AT }
  }

  /** What the command becomes, or its refusal in words. */
  try(body: CommandBody): EventBody | string {
    const command = this.command(body)
    try {
      return this.apply(command, decide(this.state, command, this.context))
    } catch (error) {
      if (error instanceof LastmetreError && error.code === 'command-refused') return error.message
      throw error
    }
  }

  /** Must be booked. */
  do(body: CommandBody): EventBody {
    const done = this.try(body)
    if (typeof done === 'string') throw new Error(`refused: ${done}`)
    return done
  }

  broken(): string[] {
    return broken(this.state)
  }

  /** Metres by what they are, over all strips. */
  sums(): Partial<Record<MovementRow['what'], number>> {
    const sums: Partial<Record<MovementRow['what'], number>> = {}
    for (const { what, um } of this.state.movements) sums[what] = ((sums[what] ?? 0) * M + um) / M
    return sums
  }

  command(body: CommandBody): Command {
    return { key: `T1-${this.events.length}`, at: AT, station: 'T1', planId: null, corrects: null, body }
  }

  private apply(command: Command, body: EventBody): EventBody {
    const { head } = this.state
    const open = {
      ...{ seq: head.seq + 1, key: command.key, at: AT, bookedAt: AT, actor: 'anna', station: 'T1' },
      ...{ planId: null, corrects: correctedSeq(this.state, command), previousHash: head.hash },
      body: JSON.parse(JSON.stringify(body)) as EventBody,
    }
    // a stand-in: what is hashed and how is the store's
    const event: LedgerEvent = { ...open, hash: `${open.seq} ${eventText(open).length}` }
    this.events.push(event)
    applyEvent(this.state, event)
    return event.body
  }
}

/** A process drum of C081-50 with one run of metre marks, falling inwards as `marks` says. */
export function received(
  drum: string,
  lengthM: number,
  change: Partial<CommandOf<'receive-drum'>> = {},
): CommandOf<'receive-drum'> {
  const lengthUm = Math.round(lengthM * M)
  return {
    ...{
      kind: 'receive-drum',
      drum,
      origin: 'goods in',
      cable: 'C081-50',
      lot: 'L1',
      drumKind: 'process_drum',
    },
    ...{ putup: 'PR-1250', lengthUm, lengthUncUm: 0.002 * lengthUm, lengthHow: 'marks' },
    marks: [{ fromUm: 0, toUm: lengthUm, markFrom: 1000, markTo: 1000 + lengthM, printUnit: 'm' }],
    ...{ faults: [], rewinds: 0, grossKg: null, tareKg: null, endCaps: 'both', place: 'A01-1' },
    ...{ status: 'free', reason: null },
    ...change,
  }
}

export function piece(measuredM: number, change: Partial<WantedPiece> = {}): WantedPiece {
  return {
    ...{ order: null, orderLine: null, piece: null, part: null, count: 1, putup: 'C-220' },
    ...{ measuredUm: Math.round(measuredM * M), uncUm: 20_000, trimUm: 0, counterM: measuredM },
    ...{ markOuter: null, markInner: null, inspection: 'as shown' },
    ...change,
  }
}

export function mount(drum: string, line = 'RW-1'): CommandOf<'mount-drum'> {
  return { kind: 'mount-drum', drum, line, mounting: null }
}

export function cut(drum: string, ...pieces: WantedPiece[]): CommandOf<'cut-pieces'> {
  return { kind: 'cut-pieces', drum, line: 'RW-1', mounting: null, pieces }
}

export function cutOff(
  drum: string,
  lengthM: number | null,
  use: 'scrap' | 'trim' | 'sample' = 'scrap',
  cause = 'end',
): CommandOf<'cut-off'> {
  const lengthUm = lengthM === null ? null : Math.round(lengthM * M)
  return { kind: 'cut-off', drum, line: 'RW-1', lengthUm, use, cause }
}

export function away(drum: string, place = 'A01-1'): CommandOf<'put-drum-away'> {
  return { kind: 'put-drum-away', drum, line: null, place, endCaps: 'both', markRead: null }
}

export function windOff(
  drum: string,
  lengthM: number | null,
  newDrum: string | null = null,
): CommandOf<'wind-off'> {
  const lengthUm = lengthM === null ? null : Math.round(lengthM * M)
  return { kind: 'wind-off', drum, line: 'RW-1', newDrum, lengthUm, putup: 'PD-500', place: 'R01-1' }
}

export function faultAt(drum: string, place: CommandOf<'find-fault'>['place']): CommandOf<'find-fault'> {
  return {
    ...{ kind: 'find-fault', drum, code: 'SPK', severity: 'cut_out', what: null, place },
    ...{ line: 'RW-1', signal: false, foundAt: null },
  }
}
