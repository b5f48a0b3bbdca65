import type { Command } from '../ledger/command.ts'
import { type Concern, concernOf } from '../ledger/concern.ts'
import { LedgerState, type StateTable } from '../ledger/state.ts'
import type {
  AsideRow,
  ComplaintRow,
  DrumRow,
  FaultRow,
  LotRow,
  PieceRow,
  StretchRow,
  StripRow,
} from '../ledger/state-rows.ts'
import { groupBy } from '../quantity/group-by.ts'
import type { Store } from './dialect.ts'
import { readInParts } from './in-parts.ts'
import { jsonRows, stretchOf } from './ledger-rows.ts'

/** What commands name, and what belongs to it. */
interface Named {
  drums: Set<string>
  strips: Set<string>
  serials: Set<string>
  lots: Set<string>
  faults: Set<string>
  complaints: Set<string>
  asides: Set<number>
  lines: Set<string>
  /** Strips whose pieces are needed as well. */
  whole: Set<string>
}

/** A state in part, with the stretches as they are stored: what must be written is the difference. */
export interface PartialState {
  state: LedgerState
  /** By strip. */
  stored: ReadonlyMap<string, readonly StretchRow[]>
}

/** The part of the present state that the commands concern: see LedgerState. Head not included. */
export async function loadNamed(trx: Store, commands: readonly Command[]): Promise<PartialState> {
  const named = namesIn(commands)
  const state = new LedgerState()
  await loadPieces(trx, state, named)
  loadJson<FaultRow>(
    await readInParts(named.faults, (ids) =>
      trx.selectFrom('fault').select('row').where('fault', 'in', ids).execute(),
    ),
    (row) => {
      named.strips.add(row.strip)
    },
  )
  const drums = await readInParts(named.drums, (ids) =>
    trx.selectFrom('drum').select('strip').where('drum', 'in', ids).execute(),
  )
  for (const { strip } of drums) named.strips.add(strip)
  // A line may have one drum only: what is mounted there speaks where another one is to be mounted.
  const mounted = await readInParts(named.lines, (lines) =>
    trx.selectFrom('drum').select('strip').where('mounted_on', 'in', lines).execute(),
  )
  for (const { strip } of mounted) named.strips.add(strip)
  const stored = await loadStrips(trx, state, named)
  loadJson<DrumRow>(
    await readInParts(named.strips, (ids) =>
      trx.selectFrom('drum').select('row').where('strip', 'in', ids).execute(),
    ),
    (row) => state.drums.load(row.drum, row),
  )
  await loadRecords(trx, state, named)
  return { state, stored }
}

function namesIn(commands: readonly Command[]): Named {
  const concerns = commands.map(({ body }) => concernOf(body))
  const all = <K extends keyof Concern>(field: K) =>
    new Set(concerns.flatMap((concern) => concern[field] as Concern[K][number][]))
  const strips = all('strips')
  const serials = all('serials')
  return {
    drums: all('drums'),
    // A piece that came in finished names its strip.
    strips: new Set([...strips, ...serials]),
    serials,
    lots: all('lots'),
    faults: all('faults'),
    complaints: all('complaints'),
    asides: all('asides'),
    lines: all('lines'),
    whole: strips,
  }
}

async function loadPieces(trx: Store, state: LedgerState, named: Named): Promise<void> {
  const take = (rows: { row: string }[]) =>
    loadJson<PieceRow>(rows, (piece) => {
      state.pieces.load(piece.serial, piece)
      named.strips.add(piece.strip)
      named.lots.add(piece.lot)
    })
  const rows = await readInParts(named.serials, (serials) =>
    trx
      .selectFrom('piece')
      .select('row')
      .where((eb) => eb.or([eb('serial', 'in', serials), eb('parent', 'in', serials)]))
      .execute(),
  )
  take(rows)
  const parents = [...state.pieces.rows()].map(({ parent }) => parent)
  const missing = new Set(parents.filter((parent) => parent !== null && !state.pieces.get(parent)))
  take(
    await readInParts(missing, (serials) =>
      trx.selectFrom('piece').select('row').where('serial', 'in', serials).execute(),
    ),
  )
  take(
    await readInParts(named.whole, (strips) =>
      trx.selectFrom('piece').select('row').where('strip', 'in', strips).execute(),
    ),
  )
}

/** Strips with their stretches and faults; names their lots and answers the stretches by strip. */
export async function loadStrips(
  trx: Store,
  state: LedgerState,
  { strips, lots }: Pick<Named, 'strips' | 'lots'>,
): Promise<PartialState['stored']> {
  loadJson<StripRow>(
    await readInParts(strips, (ids) =>
      trx.selectFrom('strip').select('row').where('strip', 'in', ids).execute(),
    ),
    (row) => {
      state.strips.load(row.strip, row)
      lots.add(row.lot)
    },
  )
  loadJson<FaultRow>(
    await readInParts(strips, (ids) =>
      trx.selectFrom('fault').select('row').where('strip', 'in', ids).execute(),
    ),
    (row) => state.faults.load(row.fault, row),
  )
  const stretches = await readInParts(strips, (ids) =>
    trx
      .selectFrom('stretch')
      .selectAll()
      .where('strip', 'in', ids)
      .orderBy('strip')
      .orderBy('from_um')
      .execute(),
  )
  const stored = groupBy(stretches.map(stretchOf), ({ strip }) => strip)
  for (const [strip, rows] of stored) state.stretches.load(strip, rows)
  return stored
}

async function loadRecords(trx: Store, state: LedgerState, named: Named): Promise<void> {
  loadTable<LotRow>(
    state.lots,
    await readInParts(named.lots, (ids) =>
      trx.selectFrom('lot_test').select('row').where('lot', 'in', ids).execute(),
    ),
    (row) => row.lot,
  )
  loadTable<ComplaintRow>(
    state.complaints,
    await readInParts(named.complaints, (ids) =>
      trx.selectFrom('complaint').select('row').where('complaint', 'in', ids).execute(),
    ),
    (row) => row.complaint,
  )
  loadTable<AsideRow>(
    state.asides,
    await readInParts(named.asides, (ids) =>
      trx.selectFrom('aside').select('row').where('seq', 'in', ids).execute(),
    ),
    (row) => String(row.seq),
  )
}

function loadTable<Row>(table: StateTable<Row>, rows: { row: string }[], keyOf: (row: Row) => string): void {
  loadJson<Row>(rows, (row) => table.load(keyOf(row), row))
}

export function loadJson<Row>(rows: { row: string }[], take: (row: Row) => void): void {
  for (const row of jsonRows<Row>(rows)) take(row)
}
