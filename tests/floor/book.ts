import { applyEvent } from '../../src/ledger/apply.ts'
import { asShown, type ShownCut } from '../../src/ledger/as-shown.ts'
import type { Command, CommandBody } from '../../src/ledger/command.ts'
import { decide } from '../../src/ledger/decide.ts'
import type { EventBody } from '../../src/ledger/event.ts'
import { openingCommands } from '../../src/ledger/opening.ts'
import type { OpenMounting } from '../../src/ledger/plan-now.ts'
import { LedgerState } from '../../src/ledger/state.ts'
import { worksNow } from '../../src/ledger/works-now.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { type UsableDrum, usableDrum } from '../../src/strip/usable.ts'

const AT = '2031-03-10T07:00:00.000Z'

/** A ledger in memory: what is booked is decided and applied, as the store does it. */
export class Book {
  readonly works: PlanInput
  readonly state = new LedgerState()

  constructor(works: PlanInput) {
    this.works = works
    for (const { body } of openingCommands(works, new Set(), AT)) this.book(body)
  }

  book(body: CommandBody): EventBody {
    const context = { works: this.works, today: this.works.site.works.todayDate, bookedAt: AT }
    const seq = this.state.head.seq + 1
    const open = { key: `k.${seq}`, at: AT, station: 'test', planId: null, corrects: null }
    const event = decide(this.state, { ...open, body } satisfies Command, context)
    applyEvent(this.state, {
      ...{ ...open, seq, bookedAt: AT, actor: 'test', body: event, previousHash: '', hash: '' },
    })
    this.state.head = { ...this.state.head, seq }
    return event
  }

  now(): PlanInput {
    return worksNow(this.works, this.state)
  }

  /** The drum as planning and drawing see it. */
  usable(drum: string, input = this.now()): UsableDrum {
    const found = input.drums.find((d) => d.drum === drum)
    if (!found) throw new Error(`no drum ${drum}`)
    return usableDrum(
      found,
      input.marks.filter((m) => m.drum === drum),
      input.faults.filter((f) => f.drum === drum),
      input.site.cutRules,
    )
  }

  /** What As shown books for the first cut of a mounting. */
  shown(mounting: OpenMounting, change: Partial<ShownCut> = {}): CommandBody {
    const now = this.now()
    const interval = mounting.intervals[0]!
    const last = mounting.intervals.length === 1
    return asShown({
      ...{ drum: mounting.drum, line: mounting.line, mounting: mounting.index + 1 },
      ...{ usable: this.usable(mounting.drum, now), interval, equal: 1, presetM: null, uncUm: 10_000 },
      rest: (interval.use === 'remnant' && interval.putup === null) || (last && interval.use === 'end'),
      rules: now.site.cutRules,
      orderOf: (order, line) => now.orders.find((o) => o.order === order && o.line === line),
      ...change,
    })
  }
}
