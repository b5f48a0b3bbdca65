import type { CommandBody } from '../src/ledger/command.ts'
import type { LedgerContext } from '../src/ledger/context.ts'
import type { EventBody, LedgerEvent } from '../src/ledger/event.ts'
import { LedgerState } from '../src/ledger/state.ts'
import type { PlanInput } from '../src/plan/plan-input.ts'
import { seededRandom } from '../src/plan/random.ts'
import type { Store } from '../src/store/dialect.ts'
import { inParts } from '../src/store/in-parts.ts'
import { bookOne } from '../src/store/ledger-append.ts'
import { eventRow, pieceEventRows } from '../src/store/ledger-rows.ts'
import { writeState } from '../src/store/ledger-write.ts'

const DRUM_UM = 2_000_000_000
const PIECES_OF_DRUM = 32
const DRUMS_OF_LOT = 10
const YEAR_MS = 365 * 86_400_000
const FLUSH = 2_000

/**
 * A year of so many events: drums come in, are mounted, cut into coils that are labelled and shelved, and used up. Decided
 * and applied by the ledger itself, but written in great parts: it is about what is there, not about booking it.
 */
export async function makeYear(
  db: Store,
  works: PlanInput,
  events: number,
): Promise<{ serial: string; lot: string }> {
  const year = new Year(db, works, events)
  for (let drum = 0; year.seq < events; drum++) {
    year.drum(drum)
    if (year.waiting >= FLUSH) await year.flush()
  }
  await year.flush()
  await db.transaction().execute((trx) => writeState(trx, { state: year.state, stored: new Map() }, []))
  const pieces = [...year.state.pieces.rows()]
  const piece = pieces[Math.floor(pieces.length / 2)]
  if (!piece) throw new Error('a year without a piece')
  return { serial: piece.serial, lot: piece.lot }
}

class Year {
  readonly state = new LedgerState()
  readonly #db: Store
  readonly #works: PlanInput
  readonly #total: number
  readonly #random = seededRandom(1)
  readonly #startMs = Date.parse('2030-03-03T06:00:00.000Z')
  #events: LedgerEvent[] = []

  constructor(db: Store, works: PlanInput, total: number) {
    this.#db = db
    this.#works = works
    this.#total = total
  }

  get seq(): number {
    return this.state.head.seq
  }

  get waiting(): number {
    return this.#events.length
  }

  drum(n: number): void {
    const { site, cables, putups } = this.#works
    const drum = `Y${String(n).padStart(6, '0')}`
    const line = site.lines[n % site.lines.length]!.id
    const cable = cables[Math.floor(n / DRUMS_OF_LOT) % cables.length]!.cable
    const lot = `L${Math.floor(n / DRUMS_OF_LOT)}`
    this.#book({
      kind: 'receive-drum',
      drum,
      origin: 'goods in',
      cable,
      lot,
      drumKind: 'process_drum',
      putup: putups[0]!.putup,
      lengthUm: DRUM_UM,
      lengthUncUm: 2_000_000,
      lengthHow: 'counter',
      marks: [{ fromUm: 0, toUm: DRUM_UM, markFrom: 0, markTo: 2_000, printUnit: 'm' }],
      faults: [],
      rewinds: 0,
      grossKg: null,
      tareKg: null,
      endCaps: 'both',
      place: 'A1',
      status: 'free',
      reason: null,
    })
    this.#book({ kind: 'mount-drum', drum, line, mounting: null })
    for (let piece = 0; piece < PIECES_OF_DRUM; piece++) this.#piece(drum, line)
    this.#book({ kind: 'cut-off', drum, line, lengthUm: null, use: 'scrap', cause: 'end' })
  }

  #piece(drum: string, line: string): void {
    const measuredUm = 20_000_000 + Math.floor(this.#random() * 40_000_000)
    const body = this.#book({
      kind: 'cut-pieces',
      drum,
      line,
      mounting: null,
      pieces: [
        {
          order: null,
          orderLine: null,
          piece: null,
          part: null,
          count: 1,
          putup: null,
          measuredUm,
          uncUm: 20_000,
          trimUm: 0,
          counterM: measuredUm / 1e6,
          markOuter: null,
          markInner: null,
          inspection: 'as shown',
        },
      ],
    })
    const serial = body.kind === 'pieces-cut' ? body.pieces[0]!.serial : ''
    this.#book({ kind: 'print-label', serial, printer: 'P1', reason: 'cut' })
    this.#book({ kind: 'shelve-piece', serial, place: 'S1' })
  }

  #book(body: CommandBody): EventBody {
    const { state } = this
    const seq = state.head.seq + 1
    const at = new Date(this.#startMs + Math.floor((seq / this.#total) * YEAR_MS)).toISOString()
    const context: LedgerContext = { works: this.#works, today: at.slice(0, 10), bookedAt: at }
    const command = { key: `y${seq}`, at, station: 'Y', planId: null, corrects: null, body }
    const outcome = bookOne(state, command, { actor: 'anna' }, context)
    if ('refused' in outcome) throw new Error(outcome.refused.message)
    this.#events.push(outcome.event)
    return outcome.event.body
  }

  async flush(): Promise<void> {
    const events = this.#events
    this.#events = []
    await this.#db.transaction().execute(async (trx) => {
      const rows = events.map((event) => eventRow(event, ''))
      await inParts(rows, (part) => trx.insertInto('ledger_event').values(part).execute())
      await inParts(events.flatMap(pieceEventRows), (part) =>
        trx.insertInto('piece_event').values(part).execute(),
      )
    })
  }
}
