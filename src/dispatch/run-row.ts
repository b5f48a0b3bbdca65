import type { RewindingLine } from '../hall/rewinding-line.ts'
import { counterPresetUm } from '../line/counter-preset.ts'
import type { CounterCorrection } from '../measure/counter-correction.ts'
import { isDueToday } from '../order/due-today.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { lengthText } from '../quantity/length-text.ts'
import type { Interval } from '../strip/cut-plan.ts'
import { markText } from '../strip/mark-text.ts'
import type { UsableDrum } from '../strip/usable.ts'
import { fourDigits, pieceId } from './piece-number.ts'

/** One row of the cut list: one interval from the outer end inwards. */
export interface RunRow {
  /** Number of the cut; "rest" for what stays on the drum. */
  cut: string
  what: string
  /** Names of its pieces, as on the labels. */
  ids: string
  order: string
  customer: string
  putup: string
  /** As the order counts it; of leads, how many are cut how long. */
  declared: string
  /** True length to run or to measure off, m. */
  run: string
  /** What the counter shows then, m; empty at a bench. */
  preset: string
  /** Counter readings where slowing down begins and where the stop is ordered, m; empty where none is set. */
  slow: string
  stop: string
  /** Not to be released before its stretch has been spark tested. */
  held: boolean
  /** Jacket mark that should stand at the cut. */
  mark: string
  due: string
  dueToday: boolean
}

export interface RowContext {
  input: PlanInput
  usable: UsableDrum
  planNumber: string
  /** null at a bench. */
  line: RewindingLine | null
  correction: CounterCorrection | null
  /** Whether the piece of a cut is held for want of a spark test, and the presets; by number of the cut. */
  heldOf: (cut: number) => boolean
  presetOf: (cut: number) => { slow: string; stop: string } | null
  orderOf: (order: string, orderLine: number) => OrderLine | undefined
  /** Sequence number of the first piece of an interval, by its index. */
  sequenceOf: (interval: number) => number
}

export function runRow(interval: Interval, index: number, last: boolean, context: RowContext): RunRow {
  const { usable } = context
  const lengthUm = interval.toUm - interval.fromUm
  const stays = interval.use === 'remnant' && interval.putup === null
  const rest = stays || (last && interval.use === 'end')
  const stops = rest ? null : context.presetOf(index + 1)
  return {
    cut: rest ? 'rest' : String(index + 1),
    order: '',
    customer: '',
    declared: '',
    ids: '',
    due: '',
    dueToday: false,
    run: metres(lengthUm),
    preset: rest || !context.line ? '' : metres(counterPresetUm(lengthUm, context.line, context.correction)),
    slow: stops?.slow ?? '',
    stop: stops?.stop ?? '',
    held: context.heldOf(index + 1),
    mark: rest ? '' : (markText(usable, interval.toUm) ?? 'no print'),
    ...ofUse(interval, index, context),
  }
}

/** To the millimetre, a need rounded up, with its noughts: figures of one column stand under each other. */
function metres(lengthUm: number): string {
  return (Math.ceil(lengthUm / 1000) / 1000).toFixed(3)
}

function ofUse(
  interval: Interval,
  index: number,
  context: RowContext,
): Pick<RunRow, 'what' | 'putup'> & Partial<RunRow> {
  switch (interval.use) {
    case 'end':
      return { what: 'end, scrap', putup: '' }
    case 'scrap':
      return { what: `scrap: ${scrapText(interval, context.usable)}`, putup: '' }
    case 'remnant':
      return interval.putup === null
        ? { what: 'stays on the drum', putup: '' }
        : { what: 'wind off as remnant, label and cap it', putup: interval.putup }
    case 'piece':
      return pieceRow(interval, index, context)
  }
}

/** Names the faults that lie in it: they are looked for, and the spark report is checked against them. */
function scrapText(scrap: Extract<Interval, { use: 'scrap' }>, { zones }: UsableDrum): string {
  const faults = zones
    .filter(({ fromUm, toUm }) => fromUm < scrap.toUm && toUm > scrap.fromUm)
    .map(({ fault }) => `${fault.fault} (${fault.code})`)
  if (faults.length === 0) return scrap.cause
  const named = `fault ${faults.join(', ')}`
  // the plan's own cause may name the faults already, without what they are
  const other = scrap.cause
    .split(', ')
    .filter((part) => !part.startsWith('fault'))
    .join(', ')
  return other === '' ? named : `${other}, ${named}`
}

function pieceRow(
  piece: Extract<Interval, { use: 'piece' }>,
  index: number,
  context: RowContext,
): Pick<RunRow, 'what' | 'putup'> & Partial<RunRow> {
  const order = context.orderOf(piece.order, piece.orderLine)
  const first = context.sequenceOf(index)
  const id = pieceId(context.planNumber, first)
  const lead = piece.putup === null
  const upTo = piece.count > 1 ? ` to ${piece.piece + piece.count - 1}` : ''
  const ids = piece.count > 1 ? `${id} to ${fourDigits(first + piece.count - 1)}` : id
  const part = piece.part > 1 || (order && !order.singleLength) ? `, part ${piece.part}` : ''
  return {
    what: `${lead ? (piece.count > 1 ? 'leads' : 'lead') : 'piece'} ${piece.piece}${upTo} of ${order?.qty ?? '?'}${part}`,
    ids,
    putup:
      piece.putup ??
      (context.line ? 'coil up for the bench' : piece.count > 1 ? `cut ${piece.count} apart` : 'one lead'),
    order: `${piece.order}/${piece.orderLine}`,
    customer: order?.customer ?? '',
    declared: lead
      ? `cut ${piece.count} × ${lengthText(piece.declaredUm, 'm', 4)}`
      : lengthText(piece.declaredUm, order?.unit ?? 'm', 3),
    due: order?.dueDate ?? '',
    dueToday: order ? isDueToday(order.dueDate, context.input.site.works.todayDate) : false,
  }
}
