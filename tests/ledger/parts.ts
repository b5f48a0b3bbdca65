import type { CommandBody } from '../../src/ledger/command.ts'
import { concernOf } from '../../src/ledger/concern.ts'
import { LedgerState } from '../../src/ledger/state.ts'

/** The part of a state that a command names, by the rule of concern.ts. */
export function partOf(state: LedgerState, body: CommandBody): LedgerState {
  const concern = concernOf(body)
  const part = new LedgerState()
  part.head = state.head
  const strips = new Set(concern.strips)
  const lots = new Set(concern.lots)
  for (const row of state.pieces.rows())
    if (
      concern.serials.includes(row.serial) ||
      (row.parent !== null && concern.serials.includes(row.parent))
    ) {
      part.pieces.load(row.serial, row)
      strips.add(row.strip)
      lots.add(row.lot)
    }
  for (const row of state.faults.rows()) if (concern.faults.includes(row.fault)) strips.add(row.strip)
  for (const row of state.drums.rows())
    if (concern.drums.includes(row.drum) || (row.mountedOn !== null && concern.lines.includes(row.mountedOn)))
      strips.add(row.strip)
  for (const strip of strips) {
    const row = state.strips.get(strip)
    if (!row) continue
    part.strips.load(strip, row)
    part.stretches.load(strip, state.stretches.get(strip) ?? [])
    lots.add(row.lot)
  }
  for (const row of state.drums.rows()) if (strips.has(row.strip)) part.drums.load(row.drum, row)
  for (const row of state.faults.rows()) if (strips.has(row.strip)) part.faults.load(row.fault, row)
  if (body.kind === 'move-cut')
    for (const row of state.pieces.rows()) if (strips.has(row.strip)) part.pieces.load(row.serial, row)
  for (const row of state.lots.rows()) if (lots.has(row.lot)) part.lots.load(row.lot, row)
  for (const row of state.complaints.rows())
    if (concern.complaints.includes(row.complaint)) part.complaints.load(row.complaint, row)
  for (const row of state.asides.rows())
    if (concern.asides.includes(row.seq)) part.asides.load(String(row.seq), row)
  return part
}

/** All rows of a state, to compare. */
export function rowsOf(state: LedgerState): unknown {
  const { strips, stretches, drums, faults, pieces, lots, checks, complaints, asides } = state
  const tables = { strips, stretches, drums, faults, pieces, lots, checks, complaints, asides }
  return {
    ...Object.fromEntries(Object.entries(tables).map(([name, table]) => [name, [...table.rows()]])),
    movements: state.movements,
    head: state.head,
  }
}
