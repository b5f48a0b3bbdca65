import { type LengthUm, umFromM } from '../quantity/length.ts'
import type { Drum } from './drum.ts'

/** Book and weight further apart than this, beyond what scale and mass explain, are shown (works folder contract: "more than about 1 %"). */
const APART_RATIO = 0.01
/** The scale that weighs a drum, kg: the weights of the works folder are written to 0.1 kg. */
const SCALE_KG = 0.1
/** Cable of one type differs in mass by 1 to 2 % (common practice of the trade); the works folder gives no tolerance. */
const MASS_RATIO = 0.02

export interface WeightWitness {
  /** (gross − tare) over the mass per metre. */
  weighedUm: LengthUm
  /** How far apart from the book scale and mass tolerance explain. */
  allowedUm: LengthUm
  /** Whether weight and book disagree. Weight only flags; it never changes the planned length. */
  apart: boolean
}

export function weightWitness(drum: Drum, massKgKm: number): WeightWitness {
  const kgPerM = massKgKm / 1000
  const weighedUm = umFromM(Math.max(0, drum.grossKg - drum.tareKg) / kgPerM)
  const allowedUm = Math.ceil((APART_RATIO + MASS_RATIO) * drum.bookUm + umFromM(SCALE_KG / kgPerM))
  return { weighedUm, allowedUm, apart: Math.abs(weighedUm - drum.bookUm) > allowedUm }
}
