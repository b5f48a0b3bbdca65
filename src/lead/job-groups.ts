import { isDueToday } from '../order/due-today.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { Connector } from './connector.ts'

/** Lines of leads that one set-up of the bench makes: same cable, connectors and dies. */
export interface SetupGroup {
  cable: string
  connA: string
  connB: string
  /** Hexagons across flats, mm. */
  diesMm: number[]
  lines: { order: string; line: number; qty: number }[]
  pieces: number
  /** Fitting alone, by the minutes of the connectors. */
  fittingMinutes: number
}

export interface DueGroup {
  dueDate: string
  today: boolean
  setups: SetupGroup[]
}

/**
 * The leads by due date, and within a day by set-up: first the set-up that is on the bench from the day before, then those that share
 * most with the one before (die, cable, connector), so that little is changed.
 */
export function dueGroups(orders: OrderLine[], connectors: Connector[], todayDate: string): DueGroup[] {
  const leads = orders.filter((line) => line.kind === 'lead' && line.connA !== null && line.connB !== null)
  const days = [...new Set(leads.map(({ dueDate }) => dueDate))].sort()
  let before: SetupGroup | null = null
  return days.map((dueDate) => {
    const setups = inOrder(
      setupsOf(
        leads.filter((line) => line.dueDate === dueDate),
        connectors,
      ),
      before,
    )
    before = setups.at(-1) ?? before
    return { dueDate, today: isDueToday(dueDate, todayDate), setups }
  })
}

function setupsOf(lines: OrderLine[], connectors: Connector[]): SetupGroup[] {
  const part = (id: string) => connectors.find((c) => c.part === id)
  const groups = new Map<string, SetupGroup>()
  for (const { order, line, qty, cable, connA, connB } of lines) {
    const [a, b] = [connA!, connB!].sort() as [string, string]
    const key = [cable, a, b].join(' / ')
    const ends = [part(a), part(b)]
    const group = groups.get(key) ?? {
      ...{ cable, connA: a, connB: b, lines: [], pieces: 0, fittingMinutes: 0 },
      diesMm: [...new Set(ends.flatMap((end) => end?.ferruleHexAfMm ?? []))].sort((x, y) => x - y),
    }
    group.lines.push({ order, line, qty })
    group.pieces += qty
    group.fittingMinutes += qty * ends.reduce((sum, end) => sum + (end?.assemblyMinPerEnd ?? 0), 0)
    groups.set(key, group)
  }
  return [...groups.values()]
}

function inOrder(setups: SetupGroup[], before: SetupGroup | null): SetupGroup[] {
  const left = [...setups]
  const ordered: SetupGroup[] = []
  for (let last = before; left.length > 0; last = ordered.at(-1)!) {
    let best = 0
    for (let i = 1; i < left.length; i++) if (shared(last, left[i]!) > shared(last, left[best]!)) best = i
    ordered.push(...left.splice(best, 1))
  }
  return ordered
}

/** What need not be changed between two set-ups. */
function shared(last: SetupGroup | null, next: SetupGroup): number {
  if (last === null) return 0
  const parts = [next.connA, next.connB].filter((c) => c === last.connA || c === last.connB).length
  const dies = next.diesMm.filter((mm) => last.diesMm.includes(mm)).length
  return 4 * dies + 2 * parts + (last.cable === next.cable ? 3 : 0)
}
