import {
  type BadStretch,
  inOrderOfAction,
  MAX_RECALLED,
  type Recall,
  recalledPiece,
  recalledStock,
  recallSentence,
  touches,
  widened,
} from '../ledger/recall.ts'
import type { PieceRow, StripRow } from '../ledger/state-rows.ts'
import { placesOfMark } from '../ledger/strip-marks.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { UM_PER_M, umFromM } from '../quantity/length.ts'
import {
  drumsOnStrips,
  faultOf,
  piecesOfLot,
  piecesOnStrip,
  stripRow,
  stripsOfLot,
} from '../store/record-queries.ts'
import type { RecallAnswer, RecallQuery } from '../works/records-api.ts'
import { suspectsOfCheck, suspectsOfTool } from './record-suspects.ts'
import type { Touched } from './record-touched.ts'
import type { RecordWorks } from './record-works.ts'

/** A mark read at the place may be so far off (common practice: TRADE §3). */
const MARK_UNC_M = 0.3

/** Every piece that something bad touches, where each is now, and the stock on drums with it. Throws 'bad-request' or 'unknown-id'. */
export async function recallOf(works: RecordWorks, query: RecallQuery): Promise<RecallAnswer> {
  const touched = await touchedBy(works, query)
  // by place, everything that ever held the stretch is found already; by what made it, what became of it is not
  const byMaker = query.check !== undefined || query.tool !== undefined
  const all = byMaker ? await withWhatBecame(works, touched) : distinct(touched.pieces)
  await works.customers.refresh()
  const leftOff = all.length > MAX_RECALLED
  const pieces = all
    .slice(0, MAX_RECALLED)
    .map((p) => recalledPiece(p, works.days.dayOf(p.at), works.customers.of(p.order, p.orderLine)))
  const recall: Recall = {
    because: touched.because,
    pieces: inOrderOfAction(pieces),
    stock: touched.drums.map(({ drum, bad }) => recalledStock(drum, bad)).filter((s) => s !== null),
    leftOff,
  }
  return { says: recallSentence(recall), recall }
}

function touchedBy(works: RecordWorks, query: RecallQuery): Promise<Touched> {
  const { strip, lot, check, tool, fault } = query
  const asked = [strip, lot, check, tool, fault].filter((id) => id !== undefined)
  if (asked.length !== 1)
    throw new LastmetreError(
      'bad-request',
      'A recall is asked for by one of strip, lot, check, tool or fault.',
    )
  if (strip !== undefined) return byStrip(works, strip, query)
  if (lot !== undefined) return byLot(works, lot)
  if (fault !== undefined) return byFault(works, fault)
  if (check !== undefined) return suspectsOfCheck(works, check)
  return suspectsOfTool(works, tool ?? '', query.since ?? null)
}

async function byStrip(works: RecordWorks, id: string, query: RecallQuery): Promise<Touched> {
  const strip = await stripRow(works.db, id)
  if (!strip) throw unknown('strip', id)
  const { from, to, unit = 'm', unc } = query
  if ((from === undefined) !== (to === undefined))
    throw new LastmetreError('bad-request', 'A bad stretch has both ends: give from and to, or neither.')
  if (from === undefined || to === undefined)
    return byStretches(works, [`all of strip ${id}`], [{ strip: id, fromUm: 0, toUm: strip.lengthUm }])
  const uncM = unc ?? (unit === 'mark' ? MARK_UNC_M : 0)
  const found = unit === 'mark' ? byMarks(strip, from, to) : byMetres(strip, from, to)
  const because = `strip ${id} from ${unit === 'mark' ? 'mark ' : ''}${from} to ${to}${unit === 'm' ? ' m' : ''}, ± ${uncM} m`
  const several =
    found.length > 1 ? ['these marks stand more than once on the strip: every place is taken'] : []
  return byStretches(
    works,
    [because, ...several],
    found.map((bad) => widened(bad, uncM * UM_PER_M)),
  )
}

function byMetres({ strip, lengthUm }: StripRow, from: number, to: number): BadStretch[] {
  const [a, b] = [umFromM(Math.min(from, to)), umFromM(Math.max(from, to))]
  if (a < 0 || b > lengthUm)
    throw new LastmetreError('bad-request', `Strip ${strip} runs from 0 to ${lengthUm / UM_PER_M} m.`)
  return [{ strip, fromUm: a, toUm: b }]
}

/** Both marks on the same stretch without a restart; where that is so more than once, each is meant. */
function byMarks(strip: StripRow, from: number, to: number): BadStretch[] {
  const ends = placesOfMark(strip, to)
  const found = placesOfMark(strip, from).flatMap(({ segment, placeUm }) =>
    ends
      .filter((end) => end.segment === segment)
      .map((end) => ({ strip: strip.strip, fromUm: placeUm, toUm: end.placeUm })),
  )
  if (found.length === 0)
    throw new LastmetreError(
      'bad-request',
      `The marks ${from} and ${to} do not stand on one stretch of ${strip.strip}.`,
    )
  return found
}

async function byFault(works: RecordWorks, id: string): Promise<Touched> {
  const fault = await faultOf(works.db, id)
  if (!fault) throw unknown('fault', id)
  const because = `fault ${id} (${fault.code}) on strip ${fault.strip}, ${fault.fromUm / UM_PER_M} to ${fault.toUm / UM_PER_M} m, ± ${fault.uncUm / UM_PER_M} m`
  const said = fault.withdrawn ? [because, 'this fault was withdrawn'] : [because]
  return byStretches(works, said, [widened(fault, fault.uncUm)])
}

async function byStretches(works: RecordWorks, because: string[], stretches: BadStretch[]): Promise<Touched> {
  const pieces: PieceRow[] = []
  for (const { strip, fromUm, toUm } of stretches)
    pieces.push(...(await piecesOnStrip(works.db, strip, fromUm, toUm, MAX_RECALLED + 1)))
  const drums = await drumsOnStrips(
    works.db,
    stretches.map(({ strip }) => strip),
  )
  return {
    because,
    pieces,
    drums: stretches.flatMap((bad) =>
      drums.filter((drum) => drum.strip === bad.strip && touches(drum, bad)).map((drum) => ({ drum, bad })),
    ),
  }
}

async function byLot(works: RecordWorks, lot: string): Promise<Touched> {
  const strips = await stripsOfLot(works.db, lot)
  if (strips.length === 0) throw unknown('lot', lot)
  const drums = await drumsOnStrips(
    works.db,
    strips.map(({ strip }) => strip),
  )
  return {
    because: [`lot ${lot}, strips ${strips.map(({ strip }) => strip).join(', ')}`],
    pieces: await piecesOfLot(works.db, lot, MAX_RECALLED + 1),
    drums: drums.map((drum) => ({ drum, bad: null })),
  }
}

/** Each piece once, with what was made of those that became leads or stock again: it shares their interval. */
async function withWhatBecame(works: RecordWorks, { pieces, drums }: Touched): Promise<PieceRow[]> {
  const found = new Map(pieces.map((p) => [p.serial, p]))
  const held = new Set(drums.map(({ drum }) => drum.drum))
  const open = [...found.values()]
  for (let next = open.pop(); next !== undefined && found.size <= MAX_RECALLED; next = open.pop()) {
    if (next.where !== 'restocked' && next.where !== 'made into leads') continue
    const { strip, fromUm, toUm } = next
    for (const made of await piecesOnStrip(works.db, strip, fromUm, toUm, MAX_RECALLED)) {
      if (found.has(made.serial)) continue
      found.set(made.serial, made)
      open.push(made)
    }
    if (next.where !== 'restocked') continue
    for (const drum of await drumsOnStrips(works.db, [strip])) {
      if (held.has(drum.drum) || !touches(drum, next)) continue
      held.add(drum.drum)
      drums.push({ drum, bad: { strip, fromUm, toUm } })
    }
  }
  return [...found.values()]
}

function distinct(pieces: PieceRow[]): PieceRow[] {
  return [...new Map(pieces.map((p) => [p.serial, p])).values()]
}

function unknown(what: string, id: string): LastmetreError {
  return new LastmetreError('unknown-id', `The ledger has no ${what} ${id}.`)
}
