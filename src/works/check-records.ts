import type { AttenuationPoint } from '../cable/attenuation-point.ts'
import type { CableType } from '../cable/cable-type.ts'
import type { Connector } from '../lead/connector.ts'
import type { RunSample } from '../line/run-sample.ts'
import type { Putup } from '../putup/putup.ts'
import type { ProblemList } from './problem-list.ts'
import { shown } from './problem-list.ts'
import type { Table } from './read-table.ts'

/** Checks within one row, or from row to row, that the contract states beside a column. */

export function checkCables(cables: Table<CableType>, problems: ProblemList): void {
  for (const { row, record } of cables.rows) {
    const { foilMaterial, foilUm } = record
    if (foilMaterial === undefined || foilUm === undefined) continue
    if ((foilMaterial === 'none') !== (foilUm === 0))
      problems.add(
        cables.file,
        row,
        'foil_um',
        `is ${foilUm} where foil_material is ${foilMaterial}`,
        '0 where there is no foil, else greater than 0',
      )
  }
}

export function checkAttenuation(
  points: Table<AttenuationPoint>,
  cables: Table<CableType>,
  problems: ProblemList,
): void {
  const tested = new Set<string>()
  let whole = points.whole
  for (const { row, record } of points.rows) {
    if (record.cable === undefined) whole = false
    else tested.add(record.cable)
    if (record.powerMaxW === null && record.fMhz !== undefined && record.fMhz >= 30)
      problems.add(
        points.file,
        row,
        'power_max_w',
        `is empty at ${record.fMhz} MHz`,
        'a number greater than 0; it may be empty below 30 MHz only',
      )
  }
  if (!whole) return
  for (const { row, record } of cables.rows)
    if (record.cable !== undefined && !tested.has(record.cable))
      problems.add(
        points.file,
        null,
        'cable',
        `cable ${shown(record.cable)} (row ${row} of cables.csv) has no point`,
        'at least one point for each cable',
      )
}

export function checkConnectorRows(connectors: Table<Connector>, problems: ProblemList): void {
  for (const { row, record } of connectors.rows) {
    const { method, ferruleHexAfMm, torqueMinNm: min, torqueMaxNm: max } = record
    const crimped = method === 'crimp' || method === 'crimp_solder_pin'
    if (method !== undefined && !crimped && typeof ferruleHexAfMm === 'number')
      problems.add(
        connectors.file,
        row,
        'ferrule_hex_af_mm',
        `is ${ferruleHexAfMm} where the method is ${method}`,
        'an empty cell: nothing is crimped',
      )
    if (min === undefined || max === undefined) continue
    if ((min === null) !== (max === null))
      problems.add(
        connectors.file,
        row,
        min === null ? 'torque_min_nm' : 'torque_max_nm',
        'is empty while the other torque is given',
        'both torques, or neither',
      )
    else if (min !== null && max !== null && max < min)
      problems.add(
        connectors.file,
        row,
        'torque_max_nm',
        `${max} N m is less than torque_min_nm ${min}`,
        `at least ${min}`,
      )
  }
}

export function checkPutups(putups: Table<Putup>, problems: ProblemList): void {
  for (const { row, record } of putups.rows) {
    const { kind, flangeMm } = record
    if (kind === undefined || flangeMm === undefined) continue
    if (kind === 'coil' && flangeMm !== null)
      problems.add(
        putups.file,
        row,
        'flange_mm',
        `is ${flangeMm} for a coil`,
        'an empty cell: a coil has no flange',
      )
    if (kind !== 'coil' && flangeMm === null)
      problems.add(putups.file, row, 'flange_mm', `is empty for a ${kind}`, 'the flange diameter, mm')
  }
}

export function checkRun(run: Table<RunSample>, problems: ProblemList): void {
  let before: number | undefined
  for (const { row, record } of run.rows) {
    const { tS } = record
    if (tS !== undefined && before !== undefined && tS <= before)
      problems.add(
        run.file,
        row,
        't_s',
        `${tS} s does not rise from ${before} s in the row before`,
        `more than ${before}`,
      )
    before = tS
  }
}
