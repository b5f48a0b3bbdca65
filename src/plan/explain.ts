import type { OrderLine } from '../order/order-line.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { MicroEur } from '../quantity/money.ts'
import { orderKey } from './catalog.ts'
import { type Comparison, comparePlans } from './compare-plans.ts'
import { differenceText, euro, surenessText } from './explain-text.ts'
import type { Plan } from './plan.ts'
import type { PlanInput } from './plan-input.ts'
import { piecesOf, servedOf } from './plan-pieces.ts'
import type { Repair } from './repair.ts'
import { unservedMicro } from './tariff.ts'
import { type Variant, variantOf, type WhatIf } from './what-if.ts'

/** Plans a variant of the works, beginning from a plan. */
export type Solve = (variant: Variant, from: Plan) => Repair

export interface Answer {
  question:
    | 'better plan'
    | 'this drum'
    | 'this order'
    | 'one more drum'
    | 'shorter'
    | 'lots'
    | 'later'
    | 'to serve it'
  /** One or more whole sentences. */
  text: string
  /** null where nothing was to be compared. */
  comparison: Comparison | null
  /** What was changed to find out. */
  changes: WhatIf[]
}

export interface Explanation {
  order: string
  orderLine: number
  /** Where its pieces are cut. */
  cuts: { drum: string; line: string; pieces: number }[]
  unserved: { pieces: number; reason: string } | null
  answers: Answer[]
}

/** At most so many drums of one line are asked about, those with most of its pieces first. */
const MOST_DRUMS = 3
const SHORTER_PCT = 2
/** Ways to make a line easier to serve, the smallest change first. */
const SHORTER_STEPS_PCT = [1, 2, 5, 10]

interface Asked {
  input: PlanInput
  line: OrderLine
  plan: Plan
  solve: Solve
}

/**
 * Why an order line is served as it is, or is not, and what else would cost: each answer is found by planning again and is the
 * difference of two plans.
 */
export function explainLine(
  input: PlanInput,
  plan: Plan,
  { order, orderLine }: { order: string; orderLine: number },
  solve: Solve,
): Explanation {
  const line = input.orders.find((o) => o.order === order && o.line === orderLine)
  if (!line) throw new LastmetreError('event-refused', `There is no order line ${order}/${orderLine}.`)
  const answers: Answer[] = []
  const again = solve({ ...variantOf(input, plan.mountings, []), cables: new Set([line.cable]) }, plan).plan
  const better = isBetter(again, plan)
  if (better) {
    const comparison = comparePlans(plan, again, new Set([line.cable]))
    answers.push({
      question: 'better plan',
      text: `Looking again at ${line.cable} found a plan that ${differenceText(comparison)}; the answers below are reckoned from that one.`,
      comparison,
      changes: [],
    })
  }
  // where it costs the same, more is proven of the one that was looked at again
  const asked: Asked = { input, line, plan: isBetter(plan, again) ? plan : again, solve }
  const cuts = cutsOf(asked.plan, line)
  for (const cut of cuts.slice(0, MOST_DRUMS)) answers.push(whyThisDrum(asked, cut))
  const missing = line.qty - (servedOf(asked.plan.mountings).get(orderKey(order, orderLine))?.size ?? 0)
  const told = asked.plan.unserved.find((u) => u.order === order && u.orderLine === orderLine)
  if (missing < line.qty) answers.push(whatItCosts(asked, missing))
  answers.push(...whatEaseSaves(asked))
  if (missing > 0) answers.push(smallestChange(asked, missing))
  return {
    order,
    orderLine,
    cuts,
    unserved: missing > 0 ? { pieces: missing, reason: told?.reason ?? '' } : null,
    answers,
  }
}

function isBetter(a: Plan, b: Plan): boolean {
  return (
    a.unservedMicro < b.unservedMicro || (a.unservedMicro === b.unservedMicro && a.costMicro < b.costMicro)
  )
}

function cutsOf(plan: Plan, line: OrderLine): Explanation['cuts'] {
  const cuts: Explanation['cuts'] = []
  for (const { drum, line: at, piece } of piecesOf(plan.mountings)) {
    if (piece.order !== line.order || piece.orderLine !== line.line) continue
    const known = cuts.find((c) => c.drum === drum && c.line === at)
    if (known) known.pieces += piece.count
    else cuts.push({ drum, line: at, pieces: piece.count })
  }
  return cuts.sort((a, b) => b.pieces - a.pieces)
}

/** The plan with these changes, and how it compares. */
function tried(
  { input, line, plan, solve }: Asked,
  changes: WhatIf[],
): { other: Plan; comparison: Comparison } {
  const variant = variantOf(input, plan.mountings, changes)
  const other = solve(variant, plan).plan
  return { other, comparison: comparePlans(plan, other, new Set([line.cable, ...variant.cables])) }
}

const idOf = (line: OrderLine) => ({ order: line.order, orderLine: line.line })

/** What the next best place would cost: the line forbidden on the drum. */
function whyThisDrum(asked: Asked, { drum, pieces }: Explanation['cuts'][number]): Answer {
  const { line } = asked
  const changes: WhatIf[] = [{ kind: 'forbid', ...idOf(line), drum }]
  const { other, comparison } = tried(asked, changes)
  // what can be done without the drum can be done with it as well: then this is the better plan from here on
  if (isBetter(other, asked.plan)) {
    asked.plan = other
    return {
      question: 'this drum',
      text: `${drum} is not needed for ${pieces === 1 ? 'this piece' : `these ${pieces} pieces`}: planned without it, the plan ${differenceText(comparison)}; the answers below are reckoned from that one. ${surenessText(comparison)}`,
      comparison,
      changes,
    }
  }
  const elsewhere = cutsOf(other, line)
  const where =
    elsewhere.length === 0
      ? 'no other drum could give it'
      : `it would come from ${elsewhere.map((c) => c.drum).join(', ')}`
  const what = pieces === 1 ? 'this piece' : `these ${pieces} pieces`
  return {
    question: 'this drum',
    text: `${drum} for ${what}: without it ${where}, and the plan ${differenceText(comparison)}. ${surenessText(comparison)}`,
    comparison,
    changes,
  }
}

/** What the line costs the plan: a plan without it. What is missing of it is no matter then. */
function whatItCosts(asked: Asked, missing: number): Answer {
  const { line } = asked
  const changes: WhatIf[] = [{ kind: 'without', ...idOf(line) }]
  const { comparison: found } = tried(asked, changes)
  const own = missing > 0 ? unservedMicro(line, missing, asked.input.site.works.todayDate) : 0
  const comparison = sameService(found, own)
  return {
    question: 'this order',
    text: `Without this order line the plan ${differenceText(comparison)}: ${
      comparison.savesMicro < 0
        ? 'its material counts for more delivered than it would in stock'
        : 'that is what it wastes and handles, beside its material'
    }. Its price is ${euro(Math.round(line.priceEur * 1e6))}. ${surenessText(comparison)}`,
    comparison,
    changes,
  }
}

/** Leaves out of the service what is missing of the line itself. */
function sameService(c: Comparison, ownMicro: MicroEur): Comparison {
  const servesMoreMicro = c.servesMoreMicro - ownMicro
  const { gapMicro: a } = c.before
  const { gapMicro: b } = c.after
  const between =
    servesMoreMicro === 0 && a !== null && b !== null
      ? { least: c.savesMicro - a, most: c.savesMicro + b }
      : null
  return { ...c, servesMoreMicro, savesBetweenMicro: between }
}

/** What the works or the customer could give way in, and what that would save. */
function whatEaseSaves(asked: Asked): Answer[] {
  const { line } = asked
  const id = idOf(line)
  const asks: { question: Answer['question']; with: string; changes: WhatIf[] }[] = [
    {
      question: 'one more drum',
      with: `With one more process drum of ${line.cable}`,
      changes: [{ kind: 'drum', cable: line.cable }],
    },
  ]
  if (line.kind === 'bulk' && line.singleLength)
    asks.push({
      question: 'shorter',
      with: `If its pieces might be ${SHORTER_PCT} % shorter`,
      changes: [{ kind: 'shorter', ...id, pct: SHORTER_PCT }],
    })
  if (line.sameLotGroup !== null)
    asks.push({
      question: 'lots',
      with: `If the pieces of ${line.sameLotGroup} might come from several lots`,
      changes: [{ kind: 'lots', group: line.sameLotGroup }],
    })
  asks.push({ question: 'later', with: 'Due a day later', changes: [{ kind: 'later', ...id, days: 1 }] })
  return asks.map(({ question, with: words, changes }) => {
    const { comparison: found } = tried(asked, changes)
    const comparison = question === 'later' ? sameService(found, lighterMicro(asked)) : found
    return {
      question,
      text: `${words} the plan ${differenceText(comparison)}. ${surenessText(comparison)}`,
      comparison,
      changes,
    }
  })
}

/** What is missing of a line weighs less when it is due a day later, which serves nobody. */
function lighterMicro({ input, plan, line }: Asked): MicroEur {
  const served = servedOf(plan.mountings).get(orderKey(line.order, line.line))?.size ?? 0
  const { todayDate } = input.site.works
  const later = variantOf(input, [], [{ kind: 'later', ...idOf(line), days: 1 }]).input.orders
  const same = later.find((o) => o.order === line.order && o.line === line.line)!
  return unservedMicro(line, line.qty - served, todayDate) - unservedMicro(same, line.qty - served, todayDate)
}

/** The first of the small changes that serves all of the line without leaving more of others. */
function smallestChange(asked: Asked, missing: number): Answer {
  const { line } = asked
  const own = unservedMicro(line, missing, asked.input.site.works.todayDate)
  for (const { words, change } of easings(line)) {
    const { other, comparison } = tried(asked, [change])
    const served = servedOf(other.mountings).get(orderKey(line.order, line.line))?.size ?? 0
    if (served < line.qty || comparison.servesMoreMicro < own - 1) continue
    return {
      question: 'to serve it',
      text: `The smallest change found that serves it in full: ${words}. The plan then ${differenceText(comparison)}. ${surenessText(comparison)}`,
      comparison,
      changes: [change],
    }
  }
  return {
    question: 'to serve it',
    text: 'None of the single changes that were tried serves it in full: shorter pieces, two parts, faults left in, another put-up, several lots, one more drum.',
    comparison: null,
    changes: [],
  }
}

function easings(line: OrderLine): { words: string; change: WhatIf }[] {
  const id = idOf(line)
  const found: { words: string; change: WhatIf }[] = []
  const bulk = line.kind === 'bulk'
  if (line.sameLotGroup !== null)
    found.push({ words: 'pieces from several lots', change: { kind: 'lots', group: line.sameLotGroup } })
  if (bulk && line.singleLength)
    for (const pct of SHORTER_STEPS_PCT)
      found.push({ words: `pieces ${pct} % shorter`, change: { kind: 'shorter', ...id, pct } })
  if (line.faultsAllowed !== 'downgrade')
    found.push({ words: 'faults left in that need not be cut out', change: { kind: 'faults', ...id } })
  if (bulk && line.putup !== null)
    found.push({ words: 'a put-up of our choice', change: { kind: 'putup', ...id } })
  if (bulk && line.singleLength)
    found.push({ words: 'each piece in up to two parts', change: { kind: 'parts', ...id } })
  found.push({ words: `one more process drum of ${line.cable}`, change: { kind: 'drum', cable: line.cable } })
  return found
}
