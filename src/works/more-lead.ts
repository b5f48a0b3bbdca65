import type { ConnectorPower } from '../lead/connector-power.ts'
import type { Instrument } from '../lead/instrument.ts'
import { type Columns, date, id, maybe, positive, ref, text } from './column.ts'
import { idsOf, joined, uniqueRows } from './known-ids.ts'
import { type MoreResult, MoreTables, wholeRecords } from './more-tables.ts'
import type { Works } from './works.ts'

/** Optional files of `more/` on leads: power of connectors, instruments. As strict as the sixteen. */
export const MORE_LEAD_FILES = ['more/connector_power.csv', 'more/instruments.csv'] as const

export const CONNECTOR_POWER_COLUMNS: Columns<ConnectorPower> = {
  part: ref('part', 'connectors.csv'),
  fMhz: positive('f_mhz'),
  powerMaxW: positive('power_max_w'),
}

export const INSTRUMENT_COLUMNS: Columns<Instrument> = {
  instrument: id('instrument'),
  what: maybe(text('what')),
  lossDb: positive('u_loss_db'),
  gamma: positive('u_gamma_ratio'),
  calibratedDate: maybe(date('calibrated_date')),
  dueDate: maybe(date('calibration_due_date')),
}

/** What stands in `more/` of leads; null for a file that is not there: not recorded. */
export interface MoreLead {
  connectorPower: ConnectorPower[] | null
  instruments: Instrument[] | null
}

/** Reads the optional files against a checked works; a breach refuses them all. */
export function parseMoreLead(files: ReadonlyMap<string, Uint8Array>, works: Works): MoreResult<MoreLead> {
  const known = idsOf(works, 'connectors.csv')
  const tables = new MoreTables(files, MORE_LEAD_FILES, known)
  const power = tables.read('more/connector_power.csv', CONNECTOR_POWER_COLUMNS)
  const instruments = tables.read('more/instruments.csv', INSTRUMENT_COLUMNS)
  if (power)
    uniqueRows(power, 'f_mhz', 'frequency of a part', ({ part, fMhz }) => joined(part, fMhz), tables.problems)
  if (instruments)
    uniqueRows(instruments, 'instrument', 'instrument', (row) => row.instrument, tables.problems)
  return tables.result(() => ({
    connectorPower: wholeRecords(power),
    instruments: wholeRecords(instruments),
  }))
}
