import { figureText, lengthText } from '../quantity/length-text.ts'
import type { ShortChance } from './complaint-chance.ts'
import { HARD_TO_BELIEVE } from './complaint-chance.ts'
import { BEFORE_LEDGER, type ComplaintRow, type TestFigure } from './state-rows.ts'
import { type NearSparkCheck, type Neighbour, type Trace, whereWords } from './trace.ts'

/** What a trace says, in words: for screen, paper and command line alike. */

/** How a customer measured, where they did not say. */
export const NOT_SAID = 'not said'

const NOT_RECORDED = 'not recorded'
const metres = (um: number, decimals = 3) => lengthText(um, 'm', decimals)
const percent = (ratio: number, decimals = 3) => `${figureText(ratio * 100, decimals)} %`

/** What a customer says of a piece: "short, measured 24.7 m ± 0.1 m, by tape; the drum ran empty". */
export function claimWords({ claim, claimedUm, uncUm, method, note }: ComplaintRow): string {
  const measured =
    claimedUm === null
      ? ''
      : `, measured ${metres(claimedUm)}${uncUm === null ? '' : ` ± ${metres(2 * uncUm)}`}`
  const by = method === NOT_SAID ? '' : `, by ${method}`
  return `${claim}${measured}${by}${note === null ? '' : `; ${note.trim().replace(/\.$/, '')}`}`
}

/** What it is, for the answer in one line; traceTail goes on from there. */
export function traceHead({ piece: { serial, cable, declaredText, measuredUm } }: Trace): string {
  return `${serial}: ${declaredText || metres(measuredUm)} of ${cable}`
}

/** Where it came from and where it is, in one or two sentences. */
export function traceSentence(trace: Trace): string {
  return traceHead(trace) + traceTail(trace)
}

export function traceTail({ piece, customer, parent, day }: Trace): string {
  const { order, orderLine, line, drum, strip, fromUm, toUm } = piece
  const forWhom = order === null ? '' : ` for ${order}/${orderLine}${customer ? `, ${customer}` : ''}`
  const made = parent
    ? `It was made from bench length ${parent.serial}, cut from ${parent.drum} on ${parent.line} on ${day}`
    : line === BEFORE_LEDGER
      ? `It was made before the ledger began, on ${day}`
      : `It was cut from ${drum} on ${line} on ${day}`
  return (
    `${forWhom}; ${whereWords(piece)}. ` +
    `${made}, strip ${strip}, ${metres(fromUm, 2)} to ${metres(toUm, 2)}, lot ${piece.lot}.`
  )
}

/** Names and values, in the order in which one asks. */
export function traceFacts(trace: Trace): [name: string, value: string][] {
  const { piece, marks, lot, faults, counter, neighbours, leads, parent, strip } = trace
  return [
    ['Serial', piece.serial],
    ['Where', whereWords(piece)],
    [
      'Cable, lot',
      `${piece.cable}, ${piece.lot}${lot ? ` (tests ${lot.passed ? 'passed' : 'failed'})` : ''}`,
    ],
    ['Strip', `${strip.strip}, ${metres(piece.fromUm)} to ${metres(piece.toUm)}`],
    ['Marks', marksText(trace)],
    ['Marks by the map', `${markText(marks.atFrom)} to ${markText(marks.atTo)}`],
    ['Measured', `${metres(piece.measuredUm)} ± ${metres(2 * piece.uncUm)} (2 u)`],
    ['Declared', piece.declaredText || NOT_RECORDED],
    ['Counter', piece.counterM === null ? NOT_RECORDED : `showed ${figureText(piece.counterM, 3)} m`],
    ['Line', piece.line === BEFORE_LEDGER ? NOT_RECORDED : `${piece.line}, station ${piece.station}`],
    ['By', `${piece.actor}, ${trace.day}`],
    [
      'Order',
      piece.order === null
        ? 'none'
        : `${piece.order}/${piece.orderLine}, ${trace.customer ?? 'customer not on record'}`,
    ],
    ['Shipment', piece.shipment ?? 'none'],
    ['Label', piece.labelVersion === 0 ? 'not printed' : `version ${piece.labelVersion}`],
    ['Put-up', piece.putup ?? NOT_RECORDED],
    ['Tools', piece.tools.length > 0 ? piece.tools.join(', ') : NOT_RECORDED],
    ['Inspection', piece.inspection],
    ['Counter error', piece.line === BEFORE_LEDGER ? NOT_RECORDED : counterText(counter)],
    ['Counter correction', piece.line === BEFORE_LEDGER ? NOT_RECORDED : correctionText(counter)],
    ['Counter checks', checksText(counter)],
    ['Spark test', sparkText(trace.spark)],
    ['Beside it', `${neighbourText(neighbours.before)}; ${neighbourText(neighbours.after)}`],
    ['Faults', faults.length === 0 ? 'none known' : faults.map((f) => `${f.fault} ${f.code}`).join(', ')],
    ...(parent ? [['Bench length', parent.serial] as [string, string]] : []),
    ...(leads.length > 0 ? [['Leads', leads.map((l) => l.serial).join(', ')] as [string, string]] : []),
    ...(piece.planId === null ? [] : [['Plan', String(piece.planId)] as [string, string]]),
  ]
}

function marksText({ piece }: Trace): string {
  if (piece.markOuter === null && piece.markInner === null) return 'none read'
  return `read ${markText(piece.markOuter)} outer, ${markText(piece.markInner)} inner`
}

function markText(mark: number | null): string {
  return mark === null ? 'no mark' : figureText(mark, 2)
}

function counterText(counter: Trace['counter']): string {
  if (!counter) return 'no counter at a bench'
  const { errorRatio, standardRatio, factor95 } = counter
  if (errorRatio === null || standardRatio === null || factor95 === null)
    return 'not known: fewer than three checks'
  return `${percent(errorRatio)} ± ${percent(factor95 * standardRatio)} (95 %) that day, as all checks tell it`
}

function correctionText(counter: Trace['counter']): string {
  if (!counter?.correction) return 'none: fewer than two checks'
  const { errorRatio, checks } = counter.correction
  return `${percent(errorRatio)}, the mean of the last ${checks} checks up to that day`
}

function checksText(counter: Trace['counter']): string {
  const near = (check: NonNullable<Trace['counter']>['before'], word: string) =>
    check ? `${word} ${check.date}: ${percent(check.errorRatio)}` : `none ${word}`
  return counter ? `${near(counter.before, 'before')}; ${near(counter.after, 'after')}` : NOT_RECORDED
}

function sparkText({ before, after }: Trace['spark']): string {
  const near = (check: NearSparkCheck | null, word: string) =>
    check
      ? `${check.passed ? 'good' : 'FAILED'} check ${word}, ${check.at.slice(0, 10)}${check.check ? ` (${check.check})` : ''}`
      : `no check ${word} on record`
  return `${near(before, 'before')}; ${near(after, 'after')}`
}

function neighbourText(neighbour: Neighbour | null): string {
  if (!neighbour) return 'end of the strip'
  return `${neighbour.use}${neighbour.ref ? ` ${neighbour.ref}` : ''}`
}

/** "insertion loss 1.234 dB at 2400 MHz, limit 1.3": one figure of a test. */
export function figureWords({ quantity, value, unit, fMhz, limit, instrument }: TestFigure): string {
  const at = fMhz === null ? '' : ` at ${figureText(fMhz, 3)} MHz`
  const against = limit === null ? '' : `, limit ${figureText(limit, 3)}`
  return `${quantity} ${figureText(value, 3)} ${unit}${at}${against}${instrument ? ` (${instrument})` : ''}`
}

/** A probability as one says it: never 0 or 100 %. */
export function chanceText(chance: number): string {
  if (chance < 0.001) return 'less than 0.1 %'
  if (chance > 0.999) return 'more than 99.9 %'
  return `${figureText(chance * 100, 1)} %`
}

/** How probable it is that the piece was short, in sentences. */
export function shortSentences({
  byCounter,
  before,
  beforeChance,
  after,
  afterChance,
  apart,
}: ShortChance): string[] {
  const by = (b: { meanUm: number; standardUm: number }) =>
    `${metres(Math.round(b.meanUm))} ± ${metres(Math.round(2 * b.standardUm))} (2 u)`
  const sentences = [
    `${byCounter ? 'By the counter of that day' : 'As it was booked'} the piece was ${by(before)}: the probability that it was short of what is declared is ${chanceText(beforeChance)}.`,
  ]
  if (after && afterChance !== null)
    sentences.push(
      `With the customer’s measurement it was ${by(after)}, and the probability is ${chanceText(afterChance)}.`,
    )
  if (apart !== null && apart > HARD_TO_BELIEVE)
    sentences.push(
      `The two measurements lie ${figureText(apart, 1)} standard deviations apart: both can hardly be right. Find out which one is wrong before anything is settled.`,
    )
  return sentences
}
