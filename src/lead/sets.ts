import type { SetsAsked } from './set-asked.ts'
import { setsInBoxes } from './set-boxes.ts'
import {
  type LeadPool,
  type PoolMember,
  type Rescued,
  rescueLeftOver,
  type UnusedLead,
} from './set-left-over.ts'
import { type PoolLead, poolLead, poolName, unfitForSets } from './set-pool.ts'
import { type MatchBy, mmPerUnit } from './set-trim.ts'
import { setsInWindow } from './set-window.ts'

export interface MatchedSet {
  serials: string[]
  lot: string
  connA: string
  connB: string
  /** Largest less smallest delay or phase, and insertion loss. */
  spread: number
  lossSpreadDb: number
  /** Temperatures at which its leads were measured. */
  tempFromC: number
  tempToC: number
}

export interface LeadSets {
  sets: MatchedSet[]
  /** No choice of the finished leads as they are makes more sets. */
  provenMost: number
  /** Whether `provenMost` is reached, so that no choice is better. */
  provenBest: boolean
  mmPerUnit: number
  rescued: Rescued[]
  /** Sets that the rescued leads would make, with leads that were left over. */
  rescuedSets: string[][]
  unused: UnusedLead[]
  notes: string[]
}

/** States of the search for sets that agree in more than one quantity: under a second. */
const MOST_STATES = 40_000

/** The best matched sets out of what has been measured, what a trim would add, and why the rest cannot be used. */
export function leadSets(asked: SetsAsked): LeadSets {
  const { by } = asked
  const answer: LeadSets = {
    ...{ sets: [], provenMost: 0, provenBest: true, rescued: [], rescuedSets: [], unused: [] },
    ...{ mmPerUnit: mmPerUnit(by, asked.cable.velocityRatio), notes: notesOf(asked) },
  }
  for (const pool of poolsOf(asked)) addPool(asked, pool, answer)
  answer.provenBest = answer.sets.length === answer.provenMost
  if (!answer.provenBest)
    answer.notes.push(
      `Not proven best: ${answer.sets.length} sets were found, and ${answer.provenMost} could not be ruled out.`,
    )
  return answer
}

/** Finished and open leads by what may be in one set. */
function poolsOf({ tests, open, cable, by, ...parts }: SetsAsked): LeadPool[] {
  const pools = new Map<string, LeadPool>()
  const poolAt = (name: string): LeadPool => {
    const pool = pools.get(name) ?? { members: [], unfit: [], open: [] }
    pools.set(name, pool)
    return pool
  }
  for (const lead of tests.filter((test) => test.cable === cable.cable).map(poolLead)) {
    const member = { lead, value: matchValue(lead, by) }
    const why = unfitForSets(parts, lead)
    const pool = poolAt(lead.pool)
    if (why === null) pool.members.push(member)
    else pool.unfit.push({ ...member, why })
  }
  for (const lead of open ?? []) if (lead.cable === cable.cable) poolAt(poolName(lead)).open.push(lead)
  return [...pools.values()]
}

/** By its delay where its turns cannot be counted; such a lead is in no set. */
function matchValue({ test, wholeDeg }: PoolLead, by: MatchBy): number {
  if (by.unit === 'ps') return test.delayPs
  return wholeDeg === null ? 360 * by.fMhz * test.delayPs * 1e-6 : (wholeDeg * by.fMhz) / test.fTestMhz
}

function addPool(asked: SetsAsked, pool: LeadPool, answer: LeadSets): void {
  const { size, window, windowDb } = asked
  const { members } = pool
  const values = members.map(({ value }) => value)
  const found =
    windowDb === null
      ? setsInWindow(values, size, window)
      : setsInBoxes(
          members.map(({ lead, value }) => [value, lead.test.ilDb]),
          size,
          [window, windowDb],
          MOST_STATES,
        )
  const first = answer.sets.length
  answer.sets.push(...found.sets.map((set) => matchedSet(set.map((i) => members[i]!))))
  answer.provenMost += found.mostPossible
  const used = new Set(found.sets.flat())
  const left = members.filter((_, i) => !used.has(i))
  const spans = found.sets.map((set, i) => {
    const inSet = set.map((j) => values[j]!)
    return { number: first + i + 1, span: { from: Math.min(...inSet), to: Math.max(...inSet) } }
  })
  const rest = rescueLeftOver(asked, { ...pool, members: left }, spans, answer.mmPerUnit)
  answer.rescued.push(...rest.rescued)
  answer.rescuedSets.push(...rest.sets)
  answer.unused.push(...rest.unused)
}

function matchedSet(members: PoolMember[]): MatchedSet {
  const sorted = [...members].sort((a, b) => a.value - b.value)
  const tests = sorted.map(({ lead }) => lead.test)
  const spreadOf = (values: number[]) => Math.max(...values) - Math.min(...values)
  return {
    serials: tests.map(({ serial }) => serial),
    lot: tests[0]!.lot,
    connA: tests[0]!.connA,
    connB: tests[0]!.connB,
    spread: spreadOf(sorted.map(({ value }) => value)),
    lossSpreadDb: spreadOf(tests.map(({ ilDb }) => ilDb)),
    tempFromC: Math.min(...tests.map(({ tempC }) => tempC)),
    tempToC: Math.max(...tests.map(({ tempC }) => tempC)),
  }
}

function notesOf({ open, by, windowDb, tests, cable }: SetsAsked): string[] {
  const notes = [
    'A set is one lot and one pair of connectors; the window is the largest difference between any two leads of a set.',
    'Measured values as they stand: the uncertainty of phase and delay, and their change with temperature, are not recorded.',
  ]
  const others = tests.filter(
    (test) => test.cable === cable.cable && by.unit === 'deg' && test.fTestMhz !== by.fMhz,
  )
  if (others.length > 0)
    notes.push(
      `${others.length} leads were measured at another frequency: their phase is reckoned in proportion to it, as of a pure delay.`,
    )
  if (open === null) notes.push('Leads with an open end: not recorded (more/open_leads.csv).')
  if (windowDb !== null) notes.push('Trims are not looked for where loss must agree as well.')
  return notes
}
