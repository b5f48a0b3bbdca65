import type { LengthUm } from '../quantity/length.ts'

/** A finished lead whose cable was measured when it was cut. A row of more/finished_leads.csv. */
export interface CutRecord {
  serial: string
  cable: string
  connA: string
  connB: string
  finishedDate: string
  /** Of the cable before anything was stripped. */
  cutUm: LengthUm
  /** Tip to tip. */
  lengthUm: LengthUm
}
