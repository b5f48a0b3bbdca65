import { normalBelow } from '../measure/normal-distribution.ts'
import {
  byStrip,
  lastCounts,
  type MovementSum,
  type StockDifference,
  type StripFacts,
  stockSign,
} from './movement-sum.ts'

/** From the first day to the day before `to`. */
export interface Period {
  from: string
  to: string
}

/** A counted drum that is empty by now: nothing of it is left that a count could differ from. */
export interface EmptiedDrum {
  drum: string
  day: string
}

/** Metres of one cable type in a period, whole micrometres: in = out, exactly. */
export interface Balance {
  cable: string
  openingUm: number
  receivedUm: number
  /** Came back from customers and is stock again. */
  returnedUm: number
  /** As it was declared. */
  shippedUm: number
  scrap: { cause: string; um: number }[]
  samplesUm: number
  trimsUm: number
  /** What was given beyond what was declared. */
  overLengthUm: number
  closingUm: number
  /** What nobody booked: above nought it is missing, below nought it is more than there should be. */
  unexplainedUm: number
  /** Strips that something was measured or counted on in the period; where none was, nothing can come to light. */
  measuredStrips: number
  /** What chance may make of the unexplained, one standard deviation, µm. */
  unexplainedUncUm: number
  /** How often chance alone makes as much either way; null where nothing was measured anew or no uncertainty is claimed. */
  chance: number | null
}

/** Less often than this chance is not believed: the usual 5 %, a convention. */
export const CHANCE_LIMIT = 0.05

interface Measured {
  sums: MovementSum[]
  differences: StockDifference[]
  emptied: EmptiedDrum[]
  strips: ReadonlyMap<string, StripFacts>
}

/**
 * The balance of each cable type that moved or stood: opening + received + returned = shipped + scrap + samples + trims + over-length +
 * closing + unexplained. Opening and closing are what is known of the stock at midnight: its books and, where a drum was
 * counted since it was last measured, the count. Metres booked in when the ledger began are opening stock of the period that
 * holds that day.
 */
export function balances(measured: Measured, period: Period): Balance[] {
  const cables = new Set(measured.sums.filter((s) => s.day < period.to).map((s) => s.cable))
  return [...cables].sort().map((cable) => balanceOf(cable, measured, period))
}

function balanceOf(cable: string, { sums, differences, emptied, strips }: Measured, period: Period): Balance {
  const own = sums.filter((s) => s.cable === cable && s.day < period.to)
  const within = own.filter((s) => s.day >= period.from)
  const before = own.filter((s) => s.day < period.from)
  const total = (of: MovementSum[], what: MovementSum['what'], isOpening?: boolean) =>
    of
      .filter((s) => s.what === what && (isOpening === undefined || (s.cause === 'opening') === isOpening))
      .reduce((sum, s) => sum + s.um, 0)
  const booked = (of: MovementSum[]) => of.reduce((sum, s) => sum + stockSign(s.what) * s.um, 0)
  const ofCable = differences.filter((d) => d.cable === cable)
  const standingBefore = standingCounts(ofCable, emptied, period.from)
  const standingAfter = standingCounts(ofCable, emptied, period.to)
  const bookBefore = booked(before)
  const news = ofCable.filter((d) => d.day >= period.from && d.day < period.to)
  const unexplainedUm = standingBefore - standingAfter - total(within, 'book error')
  const unexplainedUncUm = Math.sqrt(byStrip(news, strips).reduce((sum, d) => sum + d.uncUm ** 2, 0))
  return {
    cable,
    openingUm: bookBefore + standingBefore + total(within, 'received', true),
    receivedUm: total(within, 'received', false),
    returnedUm: total(within, 'returned'),
    shippedUm: total(within, 'shipped'),
    scrap: byCause(within.filter((s) => s.what === 'scrap')),
    samplesUm: total(within, 'sample'),
    trimsUm: total(within, 'trim'),
    overLengthUm: total(within, 'over-length'),
    closingUm: bookBefore + booked(within) + standingAfter,
    unexplainedUm,
    measuredStrips: new Set(news.map((d) => d.strip)).size,
    unexplainedUncUm,
    chance: unexplainedUncUm > 0 ? 2 * normalBelow(-Math.abs(unexplainedUm) / unexplainedUncUm) : null,
  }
}

/**
 * By how much counts differ from the books at the beginning of a day: of each drum the last count, until the drum is measured anew (then its
 * book is changed) or is empty.
 */
function standingCounts(differences: StockDifference[], emptied: EmptiedDrum[], day: string): number {
  const empty = new Set(emptied.filter((e) => e.day < day).map((e) => e.drum))
  let sum = 0
  for (const { drum, um } of lastCounts(differences.filter((d) => d.day < day)))
    if (drum !== null && !empty.has(drum)) sum += um
  return sum
}

function byCause(sums: MovementSum[]): Balance['scrap'] {
  const found = new Map<string, number>()
  for (const { cause, um } of sums) {
    const name = cause ?? 'other'
    found.set(name, (found.get(name) ?? 0) + um)
  }
  return [...found]
    .map(([cause, um]) => ({ cause, um }))
    .sort((a, b) => b.um - a.um || (a.cause < b.cause ? -1 : 1))
}

/** What comes in less what goes out by a balance: nought, or the balance is wrong. */
export function outOfBalanceUm(b: Balance): number {
  const scrapUm = b.scrap.reduce((sum, s) => sum + s.um, 0)
  const cameIn = b.openingUm + b.receivedUm + b.returnedUm
  const went = b.shippedUm + scrapUm + b.samplesUm + b.trimsUm + b.overLengthUm
  return cameIn - went - b.closingUm - b.unexplainedUm
}
