import type { EventOf } from '../ledger/event.ts'
import { levelStandings } from '../ledger/minimum-levels.ts'
import { matchShelf } from '../ledger/shelf-match.ts'
import { type ShelfPiece, shelfPieces } from '../ledger/shelf-piece.ts'
import type { FaultRow, LotRow, PieceRow } from '../ledger/state-rows.ts'
import type { Store } from '../store/dialect.ts'
import { readInParts } from '../store/in-parts.ts'
import type { CountedDrum, StockAnswer } from '../works/stock-api.ts'
import type { FloorNow } from './floor-desk.ts'

/** A round of counting is looked for among so many events at the end of the ledger. */
const MOST_BACK = 50_000

const HERE: readonly PieceRow['where'][] = ['hall', 'shelf', 'returned']

/** Store and shelf as they are now, with what the shelf could serve. */
export async function stockNow(db: Store, floor: FloorNow): Promise<StockAnswer> {
  const { seq, state, works, current } = floor
  const pieces = [...state.pieces.rows()].filter((p) => HERE.includes(p.where) && p.declaredUm !== null)
  const lots = await allLots(db)
  const shelf = seq === 0 ? fromFolder(floor) : shelfPieces(pieces, await faultsOf(db, pieces), lots)
  const { minimumLevels, lotTests } = current.more.stock
  const mounted = [...state.drums.rows()].filter((d) => d.mountedOn !== null)
  return {
    ...{ seq, pieces, shelf, lots, lotTests, orders: works.orders, drums: works.drums },
    mounted: Object.fromEntries(mounted.map((d) => [d.drum, d.mountedOn ?? ''])),
    levels: minimumLevels && levelStandings(minimumLevels, shelf, works.orders),
    matches: matchShelf(works, shelf),
    attenuation: current.works.attenuation,
    counted: await countedLately(db, seq),
  }
}

/** The finished pieces of the folder: what the ledger begins with. */
function fromFolder({ current }: FloorNow): ShelfPiece[] {
  return (current.more.stock.finishedPieces ?? []).map(
    ({ serial, cable, lot, putup, declaredUm, place, madeDate }) => ({
      ...{ serial, cable, lot, putup, declaredUm, place, since: madeDate, inHall: false, faults: [] },
    }),
  )
}

async function countedLately(db: Store, seq: number): Promise<CountedDrum[]> {
  const rows = await db
    .selectFrom('ledger_event')
    .select(['at', 'body'])
    .where('seq', '>', seq - MOST_BACK)
    .where('kind', '=', 'drum-counted')
    .orderBy('seq', 'desc')
    .execute()
  return rows.map(({ at, body }) => {
    const { drum, foundUm, bookUm } = JSON.parse(body) as EventOf<'drum-counted'>
    return { drum, at, foundUm, bookUm }
  })
}

async function allLots(db: Store): Promise<LotRow[]> {
  const rows = await db.selectFrom('lot_test').select('row').orderBy('lot').execute()
  return rows.map(({ row }) => JSON.parse(row) as LotRow)
}

/** Faults of the strips that the pieces are from; their drums may be empty by now. */
async function faultsOf(db: Store, pieces: readonly PieceRow[]): Promise<FaultRow[]> {
  const strips = new Set(pieces.map((p) => p.strip))
  const rows = await readInParts(strips, (part) =>
    db.selectFrom('fault').select('row').where('strip', 'in', part).execute(),
  )
  return rows.map(({ row }) => JSON.parse(row) as FaultRow)
}
