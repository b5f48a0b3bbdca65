/** An instrument that measures leads, with the expanded uncertainties (k = 2) it reaches as it is used. A row of more/instruments.csv. */
export interface Instrument {
  instrument: string
  what: string | null
  /** Of insertion loss, dB. */
  lossDb: number
  /** Of the size of a reflection. */
  gamma: number
  calibratedDate: string | null
  dueDate: string | null
}

/** Why an instrument proves nothing on a day, given as YYYY-MM-DD; null where nothing is against it. */
export function instrumentOverdue({ instrument, dueDate }: Instrument, today: string): string | null {
  if (dueDate === null || dueDate >= today) return null
  return `${instrument} was due for calibration on ${dueDate}: what it measures proves nothing until it is.`
}
