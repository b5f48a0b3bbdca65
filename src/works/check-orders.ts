import type { Connector } from '../lead/connector.ts'
import { needUmFromTyped, UM_PER_M } from '../quantity/length.ts'
import type { OrderRow } from './orders-csv.ts'
import { type ProblemList, shown } from './problem-list.ts'
import type { Table } from './read-table.ts'
import { MAX_LENGTH_M } from './works-files.ts'

/** Checks of order lines by themselves and against connectors (works folder contract). */
export function checkOrders(
  orders: Table<OrderRow>,
  connectors: Table<Connector>,
  cables: ReadonlySet<string> | null,
  problems: ProblemList,
): void {
  // A cable that is nowhere is reported by itself: what does not fit it says nothing more.
  const isCable = (cable: string | undefined) => cable !== undefined && (cables === null || cables.has(cable))
  const fits = new Map<string, string | undefined>()
  for (const { record } of connectors.rows)
    if (record.part !== undefined && isCable(record.cable)) fits.set(record.part, record.cable)
  const groups = new Map<string, { row: number; cable: string }>()
  for (const { row, record } of orders.rows) {
    const add = (column: string, wrong: string, right: string) =>
      problems.add(orders.file, row, column, wrong, right)
    checkLength(record, add)
    const cable = isCable(record.cable) ? record.cable : undefined
    checkConnectors(record, cable, fits, add)
    checkParts(record, add)
    checkMatching(record, add)
    checkGroup(record.sameLotGroup, cable, row, groups, add)
  }
}

type Add = (column: string, wrong: string, right: string) => void

function checkLength(record: Partial<OrderRow>, add: Add): void {
  const { lengthTyped, unit } = record
  if (lengthTyped === undefined || unit === undefined) return
  if (needUmFromTyped(lengthTyped, unit) > MAX_LENGTH_M * UM_PER_M)
    add('length', `is ${shown(lengthTyped)} ${unit}`, `at most ${MAX_LENGTH_M} m`)
}

function checkConnectors(
  record: Partial<OrderRow>,
  cable: string | undefined,
  fits: Map<string, string | undefined>,
  add: Add,
): void {
  const { kind, lengthDefinition, putup } = record
  if (kind === undefined) return
  for (const [column, part] of [
    ['conn_a', record.connA],
    ['conn_b', record.connB],
  ] as const) {
    if (part === undefined) continue
    if (kind === 'bulk' && part !== null)
      add(column, `is ${shown(part)} in a bulk line`, 'an empty cell: only leads have connectors')
    if (kind === 'lead' && part === null)
      add(column, 'is empty in a line of leads', 'a part of connectors.csv')
    const takes = part === null ? undefined : fits.get(part)
    if (kind === 'lead' && takes !== undefined && cable !== undefined && takes !== cable)
      add(column, `${shown(part!)} fits ${takes}, not ${cable}`, `a part that fits ${cable}`)
  }
  if (kind === 'bulk' && lengthDefinition !== undefined && lengthDefinition !== 'jacket')
    add('length_definition', `is ${lengthDefinition} in a bulk line`, 'jacket')
  if (kind === 'lead' && lengthDefinition === 'jacket')
    add('length_definition', 'is jacket in a line of leads', 'tip_to_tip or ref_to_ref')
  if (kind === 'lead' && putup !== undefined && putup !== null)
    add('putup', `is ${shown(putup)} in a line of leads`, 'an empty cell: leads have no put-up')
}

function checkParts(record: Partial<OrderRow>, add: Add): void {
  if (record.singleLength !== false) return
  if (record.minPieceUm === null)
    add('min_piece_m', 'is empty where single_length is no', 'the shortest part, m')
  if (record.maxParts === null)
    add('max_parts', 'is empty where single_length is no', 'the greatest number of parts')
}

function checkMatching(record: Partial<OrderRow>, add: Add): void {
  const { kind, matchedSet, matchKind } = record
  if (kind === 'bulk' && typeof matchedSet === 'string')
    add('matched_set', `is ${shown(matchedSet)} in a bulk line`, 'an empty cell: only leads are matched')
  if (matchedSet === null && typeof matchKind === 'string')
    add('match_kind', `is ${matchKind} without a matched_set`, 'an empty cell, or a matched_set')
  if (typeof matchedSet === 'string' && matchKind === null)
    add('match_kind', 'is empty where a matched_set is given', 'phase or delay')
  const needed =
    matchKind === 'phase'
      ? ([
          ['match_f_mhz', record.matchFMhz],
          ['match_phase_tol_deg', record.matchPhaseTolDeg],
        ] as const)
      : matchKind === 'delay'
        ? ([
            ['match_delay_ns', record.matchDelayNs],
            ['match_delay_tol_ps', record.matchDelayTolPs],
          ] as const)
        : []
  for (const [column, value] of needed)
    if (value === null) add(column, `is empty where match_kind is ${matchKind}`, 'a number greater than 0')
}

function checkGroup(
  sameLotGroup: string | null | undefined,
  cable: string | undefined,
  row: number,
  groups: Map<string, { row: number; cable: string }>,
  add: Add,
): void {
  if (typeof sameLotGroup !== 'string' || cable === undefined) return
  const first = groups.get(sameLotGroup)
  if (!first) groups.set(sameLotGroup, { row, cable })
  else if (first.cable !== cable)
    add(
      'same_lot_group',
      `${shown(sameLotGroup)} has ${first.cable} in row ${first.row} and ${cable} here`,
      'one cable in a group',
    )
}
