import type { OrderLine } from '../order/order-line.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { Mounting } from '../strip/cut-plan.ts'
import type { Drum } from '../strip/drum.ts'
import type { MarkSegment } from '../strip/mark-segment.ts'
import { type Catalog, orderKey } from './catalog.ts'
import type { PlanInput } from './plan-input.ts'
import type { StayingCuts } from './repair-fixed.ts'

/** A change to try. Plain data, so that it can come from a screen and cross to another thread. */
export type WhatIf =
  /** The cut stays where it is, with what lies outside it. Mounting and interval counted from 0. */
  | { kind: 'hold'; mounting: number; interval: number }
  /** The order line is not cut from this drum. */
  | { kind: 'forbid'; order: string; orderLine: number; drum: string }
  | { kind: 'exclude'; drum: string }
  | { kind: 'add'; line: OrderLine }
  | { kind: 'without'; order: string; orderLine: number }
  /** One more process drum of a cable, like the middling one in stock, without a fault. */
  | { kind: 'drum'; cable: string }
  /** So many per cent more may each piece fall short. */
  | { kind: 'shorter'; order: string; orderLine: number; pct: number }
  /** Each piece may come in up to two parts. */
  | { kind: 'parts'; order: string; orderLine: number }
  /** Faults that need not be cut out may stay in. */
  | { kind: 'faults'; order: string; orderLine: number }
  /** The works chooses the put-up. */
  | { kind: 'putup'; order: string; orderLine: number }
  | { kind: 'lots'; group: string }
  | { kind: 'later'; order: string; orderLine: number; days: number }

/** A works to plan, and what is asked beyond it. */
export interface Variant {
  input: PlanInput
  held: StayingCuts[]
  barred: Catalog['barred']
  /** Cables that are concerned. */
  cables: Set<string>
}

/** Ids that no works folder can hold, since an id has no blank: what is invented for a question meets nothing. */
const INVENTED = 'one more'

/** What a works would be with these changes. Throws where one speaks of what is not there. */
export function variantOf(input: PlanInput, mountings: Mounting[], changes: WhatIf[]): Variant {
  const variant: Variant = { input, held: [], barred: new Map(), cables: new Set() }
  for (const change of changes) apply(variant, mountings, change)
  return variant
}

function apply(variant: Variant, mountings: Mounting[], change: WhatIf): void {
  const { input } = variant
  switch (change.kind) {
    case 'hold': {
      const mounting = mountings[change.mounting]
      if (!mounting?.intervals[change.interval]) throw missing('cut')
      variant.held.push({ mounting: change.mounting, intervals: change.interval + 1 })
      variant.cables.add(drumOf(input, mounting.drum).cable)
      return
    }
    case 'forbid': {
      const { cable } = lineOf(input, change)
      drumOf(input, change.drum)
      const key = orderKey(change.order, change.orderLine)
      const barred = new Map(variant.barred)
      barred.set(key, new Set([...(barred.get(key) ?? []), change.drum]))
      variant.barred = barred
      variant.cables.add(cable)
      return
    }
    case 'exclude': {
      variant.cables.add(drumOf(input, change.drum).cable)
      const drums = input.drums.map((d) =>
        d.drum === change.drum ? { ...d, status: 'reserved' as const } : d,
      )
      variant.input = { ...input, drums }
      return
    }
    case 'add':
      variant.cables.add(change.line.cable)
      variant.input = { ...input, orders: [...input.orders, change.line] }
      return
    case 'drum':
      variant.cables.add(change.cable)
      variant.input = withDrum(input, change.cable)
      return
    case 'lots': {
      const lines = input.orders.filter((o) => o.sameLotGroup === change.group)
      for (const { cable } of lines) variant.cables.add(cable)
      variant.input = withLines(input, lines, () => ({ sameLotGroup: null }))
      return
    }
    default: {
      const line = lineOf(input, change)
      variant.cables.add(line.cable)
      variant.input =
        change.kind === 'without'
          ? { ...input, orders: input.orders.filter((o) => o !== line) }
          : withLines(input, [line], (l) => eased(l, change))
    }
  }
}

function eased(
  line: OrderLine,
  change: Extract<WhatIf, { kind: 'shorter' | 'parts' | 'faults' | 'putup' | 'later' }>,
): Partial<OrderLine> {
  switch (change.kind) {
    case 'shorter':
      return { tolMinusPct: (line.tolMinusPct ?? 0) + change.pct }
    case 'parts':
      return {
        singleLength: false,
        maxParts: Math.max(2, line.maxParts ?? 0),
        minPieceUm: line.minPieceUm ?? Math.ceil(line.lengthUm / 4),
      }
    case 'faults':
      return { faultsAllowed: 'downgrade' }
    case 'putup':
      return { putup: null }
    case 'later':
      return { dueDate: dayAfter(line.dueDate, change.days) }
  }
}

function dayAfter(date: string, days: number): string {
  return new Date(Date.parse(date) + days * 86_400_000).toISOString().slice(0, 10)
}

function withLines(
  input: PlanInput,
  lines: OrderLine[],
  change: (line: OrderLine) => Partial<OrderLine>,
): PlanInput {
  const orders = input.orders.map((o) => (lines.includes(o) ? { ...o, ...change(o) } : o))
  return { ...input, orders }
}

/** A process drum as long as the middling one of its cable, or of all where there is none, in a lot of its own. */
function withDrum(input: PlanInput, cable: string): PlanInput {
  const type = input.cables.find((c) => c.cable === cable)
  if (!type) throw missing(`cable ${cable}`)
  const process = input.drums.filter((d) => d.kind === 'process_drum')
  const alike = process.filter((d) => d.cable === cable)
  const sorted = (alike.length > 0 ? alike : process).sort((a, b) => a.bookUm - b.bookUm)
  const like = sorted[Math.floor(sorted.length / 2)]
  if (!like) throw missing('process drum to go by')
  const lengthUm: LengthUm = like.bookUm
  const drum: Drum = {
    ...like,
    drum: `${INVENTED} ${cable}`,
    cable,
    lot: INVENTED,
    status: 'free',
    endCaps: 'both',
    grossKg: like.tareKg + (lengthUm / 1e9) * type.massKgKm,
    location: null,
    note: null,
  }
  const marks: MarkSegment = {
    drum: drum.drum,
    segment: 1,
    fromUm: 0,
    toUm: lengthUm,
    markFrom: 0,
    markTo: lengthUm / 1e6,
    printUnit: 'm',
  }
  return { ...input, drums: [...input.drums, drum], marks: [...input.marks, marks] }
}

function lineOf(input: PlanInput, { order, orderLine }: { order: string; orderLine: number }): OrderLine {
  const line = input.orders.find((o) => o.order === order && o.line === orderLine)
  if (!line) throw missing(`order line ${order}/${orderLine}`)
  return line
}

function drumOf(input: PlanInput, id: string): Drum {
  const drum = input.drums.find((d) => d.drum === id)
  if (!drum) throw missing(`drum ${id}`)
  return drum
}

function missing(what: string): LastmetreError {
  return new LastmetreError('event-refused', `There is no ${what} in this works and plan.`)
}
