import type { EmptiedDrum, Period } from '../ledger/balance.ts'
import type { MovementSum, StockDifference, StripFacts } from '../ledger/movement-sum.ts'
import type { WorksDays } from '../ledger/works-day.ts'
import type { Store } from '../store/dialect.ts'
import {
  bookDifferences,
  cutFromStrips,
  type DatedSum,
  drumsOf,
  eventsBySeq,
  type HourlyDifference,
  movementSums,
  newestSeq,
  stripRows,
} from '../store/record-queries.ts'

/** Events whose movements are added up in one query: some hundredths of a second, so that nobody on the floor waits for it. */
const EVENTS_AT_ONCE = 10_000

/** Causes of a book error that say no more than that cuts lie where their marks are. */
const OF_CUTS: ReadonlySet<string | null> = new Set(['cut by mark', 'cut moved', 'corrected', null])

/** A shift of the hall as it is recorded: "06:00-14:00". */
type Shift = string

/** The movements of the whole ledger, added up as they come: what was added once is never read again, since nothing is ever changed. */
export class StockMovements {
  readonly #db: Store
  #seq = 0
  readonly #sums = new Map<string, DatedSum>()
  readonly #differences: (HourlyDifference & { drum: string | null })[] = []
  #running: Promise<void> | null = null

  constructor(db: Store) {
    this.#db = db
  }

  /** Takes in what came since the last time. */
  async refresh(): Promise<void> {
    this.#running ??= this.#read().finally(() => {
      this.#running = null
    })
    await this.#running
  }

  /** By the works' days. */
  sums(days: WorksDays): MovementSum[] {
    return [...this.#sums.values()].map(({ date, ...sum }) => ({ ...sum, day: days.dayOf(date) }))
  }

  /** Differences up to the end of a period, with what those within it are judged by. */
  async differences(
    days: WorksDays,
    shifts: Shift[],
    period: Period,
  ): Promise<{ differences: StockDifference[]; strips: Map<string, StripFacts>; emptied: EmptiedDrum[] }> {
    const until = this.#differences.map((d) => ({ ...d, day: days.dayOf(d.hour.slice(0, 10)) }))
    const known = until.filter(
      (d) => d.day < period.to && (d.what === 'counted' || d.day >= period.from || d.drum !== null),
    )
    const strips = [...new Set(known.filter((d) => d.day >= period.from).map((d) => d.strip))]
    const cuts = await cutFromStrips(this.#db, strips)
    const cutUm = new Map<string, number>()
    for (const { strip, um } of cuts) cutUm.set(strip, (cutUm.get(strip) ?? 0) + um)
    const facts = new Map<string, StripFacts>()
    for (const { strip, lengthUm, lengthUncUm } of await stripRows(this.#db, strips))
      facts.set(strip, { receivedUncUm: lengthUncUm, cutRatio: (cutUm.get(strip) ?? 0) / lengthUm })
    const busiest = busiestLines(cuts)
    const differences = known.map((d): StockDifference => {
      const { seq, day, strip: of, drum, cable, um, varUm2 } = d
      return {
        ...{ seq, day, strip: of, drum, cable, um, varUm2, what: kindOf(d) },
        line: d.line ?? busiest.get(of) ?? null,
        shift: shiftOf(d.hour, shifts),
      }
    })
    return { differences, strips: facts, emptied: await this.#emptied(days) }
  }

  async #read(): Promise<void> {
    const upTo = await newestSeq(this.#db)
    while (this.#seq < upTo) {
      const end = Math.min(upTo, this.#seq + EVENTS_AT_ONCE)
      const sums = await movementSums(this.#db, this.#seq, end)
      const found = await this.#withDrums(await bookDifferences(this.#db, this.#seq, end))
      for (const sum of sums) this.#add(sum)
      this.#differences.push(...found)
      this.#seq = end
      // an embedded database answers at once: others must have their turn
      await new Promise((resolve) => setImmediate(resolve))
    }
  }

  #add(sum: DatedSum): void {
    const key = `${sum.date}|${sum.cable}|${sum.what}|${sum.cause}`
    const known = this.#sums.get(key)
    if (known) known.um += sum.um
    else this.#sums.set(key, { ...sum })
  }

  /** A count names its drum; of a measurement the event does. */
  async #withDrums(found: HourlyDifference[]): Promise<(HourlyDifference & { drum: string | null })[]> {
    const measured = found.filter((d) => kindOf(d) === 'measured').map((d) => d.seq)
    const events = new Map((await eventsBySeq(this.#db, measured)).map((e) => [e.seq, e.body]))
    return found.map((d) => {
      const body = events.get(d.seq)
      const drum = d.what === 'counted' ? d.cause : body?.kind === 'rest-measured' ? body.drum : null
      return { ...d, drum }
    })
  }

  /** Counted drums on which nothing is left, with the day of their last change. */
  async #emptied(days: WorksDays): Promise<EmptiedDrum[]> {
    const counted = this.#differences.flatMap((d) =>
      d.what === 'counted' && d.drum !== null ? [d.drum] : [],
    )
    const empty = (await drumsOf(this.#db, counted)).filter((d) => d.fromUm === d.toUm)
    const events = new Map(
      (
        await eventsBySeq(
          this.#db,
          empty.map((d) => d.seq),
        )
      ).map((e) => [e.seq, e.at]),
    )
    return empty.map(({ drum, seq }) => ({ drum, day: days.dayOf(events.get(seq) ?? '') }))
  }
}

function kindOf({ what, cause }: Pick<HourlyDifference, 'what' | 'cause'>): StockDifference['what'] {
  if (what === 'counted') return 'counted'
  return OF_CUTS.has(cause) ? 'cuts' : 'measured'
}

function busiestLines(cuts: { strip: string; line: string; um: number }[]): Map<string, string> {
  const most = new Map<string, { line: string; um: number }>()
  for (const { strip, line, um } of cuts) {
    const known = most.get(strip)
    if (!known || um > known.um) most.set(strip, { line, um })
  }
  return new Map([...most].map(([strip, { line }]) => [strip, line]))
}

/** The shift in which an hour lies by this machine's clock, which is the hall's; "night" outside all of them. */
function shiftOf(hour: string, shifts: Shift[]): string | null {
  if (shifts.length === 0) return null
  const at = new Date(`${hour}:00:00Z`)
  const clock = `${String(at.getHours()).padStart(2, '0')}:00`
  for (const shift of shifts) {
    const [from = '', to = ''] = shift.split('-')
    if (clock >= from && clock < to) return shift
  }
  return 'night'
}
