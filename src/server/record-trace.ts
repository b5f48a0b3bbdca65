import type { ComplaintPaper } from '../documents/complaint-page.ts'
import { type ShortChance, shortChance } from '../ledger/complaint-chance.ts'
import { counterThatDay } from '../ledger/counter-that-day.ts'
import { pieceHistory } from '../ledger/piece-history.ts'
import type { StretchRow } from '../ledger/state-rows.ts'
import { faultsTouching, marksOfInterval, type Neighbour, sparkAround, type Trace } from '../ledger/trace.ts'
import { LastmetreError } from '../quantity/errors.ts'
import {
  complaintsOfPiece,
  eventsOfPiece,
  faultsOnStrip,
  leadsOf,
  lotTest,
  pieceOf,
  stretchesBeside,
  stripRow,
} from '../store/record-queries.ts'
import { printedNow } from './plan-papers.ts'
import { counterOf, type RecordWorks, sparkChecksOf, worksTime } from './record-works.ts'

/** Everything that is known of a piece; null where there is none with this serial. */
export async function traceOf(works: RecordWorks, serial: string): Promise<Trace | null> {
  const { db, days } = works
  const piece = await pieceOf(db, serial)
  const strip = piece && (await stripRow(db, piece.strip))
  if (!piece || !strip) return null
  const parent = piece.parent === null ? null : await pieceOf(db, piece.parent)
  // a lead has the counter and the tester of the line that its bench length was cut on
  const cut = parent ?? piece
  const day = days.dayOf(cut.at)
  const counter = await counterOf(works, cut.line)
  const beside = await stretchesBeside(db, piece.strip, cut.fromUm, cut.toUm)
  await works.customers.refresh()
  return {
    ...{ piece, day, strip, parent },
    marks: marksOfInterval(strip, piece),
    lot: await lotTest(db, piece.lot),
    faults: faultsTouching(await faultsOnStrip(db, piece.strip), piece),
    history: pieceHistory(serial, await eventsOfPiece(db, serial)).map((h) => ({
      ...h,
      day: days.dayOf(h.at),
    })),
    counter: counter && counterThatDay(counter, day),
    spark: counter
      ? sparkAround(await sparkChecksOf(works, cut.line), worksTime(days, cut.at))
      : { before: null, after: null },
    neighbours: { before: neighbour(beside.before), after: neighbour(beside.after) },
    leads: (await leadsOf(db, serial)).map(({ serial: lead, where }) => ({ serial: lead, where })),
    customer: works.customers.of(piece.order, piece.orderLine),
    complaints: (await complaintsOfPiece(db, serial)).map((c) => ({
      ...c,
      openedDay: days.dayOf(c.openedAt),
    })),
  }
}

function neighbour(stretch: StretchRow | null): Neighbour | null {
  return stretch && { use: stretch.use, ref: stretch.ref, fromUm: stretch.fromUm, toUm: stretch.toUm }
}

/** A traced piece as it stands on paper. Throws 'unknown-id'. */
export async function complaintPaperOf(works: RecordWorks, serial: string): Promise<ComplaintPaper> {
  return {
    ...{ ...(await tracedOf(works, serial)), works: works.loaded.works.site.works },
    printedAt: printedNow(works.loaded.works),
  }
}

/** As traceOf, with how probable it is that the piece is short. Throws 'unknown-id'. */
export async function tracedOf(
  works: RecordWorks,
  serial: string,
): Promise<{ trace: Trace; short: ShortChance | null }> {
  const trace = await traceOf(works, serial)
  if (!trace) throw new LastmetreError('unknown-id', `The ledger has no piece ${serial}.`)
  return { trace, short: shortChanceOf(trace) }
}

/** How probable it is that a traced piece is short, with what a customer measured where the newest complaint says so; null of what declares no length. */
export function shortChanceOf({ piece, counter, complaints }: Trace): ShortChance | null {
  if (piece.declaredUm === null) return null
  const belief =
    counter?.errorRatio == null || counter.standardRatio === null
      ? null
      : { errorRatio: counter.errorRatio, standardRatio: counter.standardRatio }
  return shortChance({ ...piece, declaredUm: piece.declaredUm }, belief, customersMeasurement(complaints))
}

function customersMeasurement(
  complaints: Trace['complaints'],
): { meanUm: number; standardUm: number } | null {
  const measured = complaints.findLast((c) => c.claimedUm !== null && c.uncUm !== null)
  if (!measured || measured.claimedUm === null || measured.uncUm === null) return null
  return { meanUm: measured.claimedUm, standardUm: measured.uncUm }
}
