import type { Putup } from '../putup/putup.ts'
import { DRUM_STATUSES, type Drum, END_CAPS } from '../strip/drum.ts'
import { FAULT_CODES, FAULT_SEVERITIES, type Fault, POSITION_SOURCES } from '../strip/fault.ts'
import type { MarkSegment } from '../strip/mark-segment.ts'
import {
  type Columns,
  choice,
  count,
  date,
  id,
  lengthUm,
  maybe,
  maybeText,
  notNegative,
  number,
  positive,
  ref,
  text,
} from './column.ts'

const MM = (name: string) => positive(name, 1e8)

export const PUTUP_COLUMNS: Columns<Putup> = {
  putup: id('putup'),
  kind: choice('kind', 'coil', 'bobbin', 'drum', 'process_drum'),
  material: text('material'),
  flangeMm: maybe(MM('flange_mm')),
  barrelMm: MM('barrel_mm'),
  traverseMm: MM('traverse_mm'),
  tareKg: notNegative('tare_kg'),
  payloadKg: positive('payload_kg'),
  costEur: notNegative('cost_eur'),
  woodMark: choice('wood_mark', 'not_wood', 'plywood_exempt', 'ht_marked', 'unmarked'),
  cover: maybeText('cover'),
}

export const DRUM_COLUMNS: Columns<Drum> = {
  drum: id('drum'),
  cable: ref('cable', 'cables.csv'),
  lot: id('lot'),
  kind: choice('kind', 'process_drum', 'remnant'),
  putup: ref('putup', 'putups.csv'),
  bookUm: lengthUm('book_m', { above: 0 }),
  receivedDate: date('received_date'),
  rewinds: number('rewinds', { from: 0, whole: true }),
  location: maybeText('location'),
  status: choice('status', ...DRUM_STATUSES),
  grossKg: notNegative('gross_kg'),
  tareKg: notNegative('tare_kg'),
  endCaps: choice('end_caps', ...END_CAPS),
  note: maybeText('note'),
}

export const MARK_COLUMNS: Columns<MarkSegment> = {
  drum: ref('drum', 'drums.csv'),
  segment: count('segment'),
  fromUm: lengthUm('from_m', { from: 0 }),
  toUm: lengthUm('to_m', { above: 0 }),
  markFrom: maybe(number('mark_from')),
  markTo: maybe(number('mark_to')),
  printUnit: choice('print_unit', 'm', 'ft', 'none'),
}

export const FAULT_COLUMNS: Columns<Fault> = {
  fault: id('fault'),
  drum: ref('drum', 'drums.csv'),
  segment: count('segment'),
  code: choice('code', ...FAULT_CODES),
  what: maybeText('what'),
  severity: choice('severity', ...FAULT_SEVERITIES),
  markFrom: number('mark_from'),
  markTo: number('mark_to'),
  positionSource: choice('position_source', ...POSITION_SOURCES),
  posUncUm: lengthUm('pos_unc_m', { from: 0 }),
  foundAt: maybeText('found_at'),
  foundDate: date('found_date'),
}
