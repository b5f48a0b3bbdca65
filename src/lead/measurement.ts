import { readAnalyserCsv } from './analyser-csv.ts'
import { bareName, refuse } from './measured-text.ts'
import type { Sweep } from './sweep.ts'
import { readTouchstone } from './touchstone.ts'

/** A measured lead as read from a file. */
export interface Measurement {
  /** Name of the file without its path. */
  file: string
  /** In words: "Touchstone 2.0", "CSV". */
  format: string
  sweep: Sweep
  /** False where the file holds sizes only. */
  hasPhase: boolean
  notes: string[]
}

/** Reads a file by the ending of its name. A CSV does not say its reference impedance: it is taken as the nominal one of the cable. */
export function readMeasurement(path: string, bytes: Uint8Array, nominalOhm: number): Measurement {
  const file = bareName(path)
  if (/\.csv$/i.test(file)) return { file, format: 'CSV', ...readAnalyserCsv(file, bytes, nominalOhm) }
  if (!/\.(s\d+p|ts)$/i.test(file))
    refuse(file, null, 'the name ends in none of .s1p, .s2p, .ts (Touchstone) and .csv.')
  const { version, sweep, noise, notes } = readTouchstone(file, bytes)
  if (noise.length > 0) notes.push(`${noise.length} lines of noise data are passed over.`)
  return { file, format: `Touchstone ${version}`, sweep, hasPhase: true, notes }
}
