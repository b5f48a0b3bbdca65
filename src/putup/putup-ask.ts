import type { CableType } from '../cable/cable-type.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { CutRules } from '../strip/cut-rules.ts'
import type { BentCable } from './barrel-limits.ts'
import type { FilmOven } from './film-sleeve.ts'
import type { Putup } from './putup.ts'
import type { PutupRules } from './putup-rules.ts'

/** What a put-up is asked to carry. A cable type of the works will do; limits that nobody has stated are null. */
export type PutupCable = BentCable & Pick<CableType, 'odTolMm' | 'massKgKm'>

/** What of a rewinding line decides whether, and at which cost, it winds a put-up. */
export interface TakeUpLine {
  id: string
  odMinMm: number
  odMaxMm: number
  takeupPutups: string[]
  cutTieLabelS: { coil: number; bobbin: number; drum: number }
  rateEurH: number
}

/** One piece that wants a put-up, and what the works has to choose from. */
export interface PutupAsk {
  cable: PutupCable
  /** Declared to the customer, m. */
  declaredM: number
  putups: Putup[]
  putupRules: PutupRules
  /** What is cut for the declared length, so what the put-up carries. */
  cutRules: Pick<CutRules, 'lengthGuardRatio' | 'pieceTrimUm'>
  lines: TakeUpLine[]
  /** Null where it is not known yet; put-ups that some markets refuse are then marked. */
  market: { market: string; woodRule: 'none' | 'ispm15' } | null
  /** Null where the works wraps no coils. */
  oven: FilmOven | null
  costs: { electricityEurKwh: number; strapEurM: number }
  /** Heaviest coil that goes from hand to hand, kg. */
  handLiftKg?: number
}

/**
 * Heaviest load for one person under ideal conditions, kg: the load constant of the revised lifting equation, NIOSH
 * 94-110, before its multipliers; reach, height and twisting only lower it. Another published limit for one man is 20 kg
 * (Def Stan 00-25).
 */
export const HAND_LIFT_KG = 23

/** Length cut from the strip for a declared length, m. */
export function cutLengthM(ask: Pick<PutupAsk, 'cutRules'>, declaredM: number): number {
  return declaredM * (1 + ask.cutRules.lengthGuardRatio) + ask.cutRules.pieceTrimUm / 1_000_000
}

/** Longest declared length whose cut length weighs no more than this, m. */
export function declaredForKgM(ask: Pick<PutupAsk, 'cutRules' | 'cable'>, kg: number): number {
  const cutM = (kg * 1000) / ask.cable.massKgKm
  return Math.max(0, (cutM - ask.cutRules.pieceTrimUm / 1_000_000) / (1 + ask.cutRules.lengthGuardRatio))
}

/** Figures that a person may have changed to see what follows; a works folder never holds such. */
export function checkAsk(ask: PutupAsk): void {
  const { cable } = ask
  mustBeAbove0('the length', ask.declaredM, 'm')
  mustBeAbove0(`od_mm of ${cable.cable}`, cable.odMm, 'mm')
  mustBeAbove0(`mass_kg_km of ${cable.cable}`, cable.massKgKm, 'kg/km')
  for (const putup of ask.putups) {
    mustBeAbove0(`barrel_mm of ${putup.putup}`, putup.barrelMm, 'mm')
    mustBeAbove0(`traverse_mm of ${putup.putup}`, putup.traverseMm, 'mm')
  }
}

function mustBeAbove0(what: string, value: number, unit: string): void {
  if (value > 0 && Number.isFinite(value)) return
  throw new LastmetreError('figure-refused', `${what} is ${value} ${unit}; it must be a number above 0`)
}
