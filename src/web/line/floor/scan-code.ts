import { readSerial } from '../../../ledger/serial.ts'

export type Scanned =
  | { is: 'drum'; drum: string }
  | { is: 'mounting'; number: number }
  | { is: 'serial'; serial: string }
  | { is: 'other'; text: string }

/**
 * What a scanned code names: a drum ("lastmetre:drum/D030"), a run sheet ("lastmetre:plan/P0001/mounting/3"), a serial
 * ("31-000123-7"), or text that only the place where it is scanned can tell: a drum's bare number, a store place.
 */
export function scannedCode(code: string): Scanned {
  const text = code.trim()
  const drum = /^lastmetre:drum\/(.{1,64})$/.exec(text)
  if (drum) return { is: 'drum', drum: drum[1]! }
  const mounting = /^lastmetre:plan\/P\d+\/mounting\/([1-9]\d{0,5})$/.exec(text)
  if (mounting) return { is: 'mounting', number: Number(mounting[1]) }
  const serial = /^(?:lastmetre:piece\/)?(\d{2}-\d{6,9}-\d)$/.exec(text)
  if (serial && readSerial(serial[1]!)) return { is: 'serial', serial: serial[1]! }
  return { is: 'other', text }
}
