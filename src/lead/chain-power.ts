import { HOTTEST_C, POWER_AMBIENT_C, type PowerPoint, powerLimit } from '../cable/power-limit.ts'
import { type Chain, cableLossDb, connectorLossDb } from './chain.ts'
import type { ConnectorPower } from './connector-power.ts'

/** What hangs on the chain, and at which frequency. */
export interface Load {
  fMhz: number
  vswr: number
}

/** Mean power that may be fed into end A, and which part of the chain allows no more. */
export interface ChainPower {
  /** null where no tested point of any part covers the frequency. */
  powerLimitW: number | null
  limitedBy: string
  notes: string[]
}

/**
 * The least of what its parts allow, each as power at end A: the connector at the far end gets what the chain before it has left.
 * A part of which nothing is recorded limits nothing here, and is named.
 */
export function chainPower(chain: Chain, load: Load, connectorPower: ConnectorPower[] | null): ChainPower {
  const { fMhz, vswr } = load
  const { cable, a, b, tempC, fit } = chain
  const ofPart = (part: string): PowerPoint[] => connectorPower?.filter((p) => p.part === part) ?? []
  const beforeB = connectorLossDb(a, fMhz) + cableLossDb(chain, fMhz)
  const parts = [
    ...(a ? [{ name: `connector ${a.part} at end A`, points: ofPart(a.part), lossDb: 0 }] : []),
    { name: `cable ${cable.cable}`, points: fit.points as PowerPoint[], lossDb: 0 },
    ...(b ? [{ name: `connector ${b.part} at end B`, points: ofPart(b.part), lossDb: beforeB }] : []),
  ]
  const notes: string[] = []
  let least: { powerW: number; name: string } | null = null
  for (const { name, points, lossDb } of parts) {
    const limit = powerLimit(points, fMhz, tempC, vswr)
    if (!limit) {
      notes.push(
        `Power limit of ${name} is not recorded at this frequency and temperature; it may be the lowest.`,
      )
      continue
    }
    const powerW = limit.powerW * 10 ** (lossDb / 10)
    if (limit.atLeast) notes.push(`Below the lowest tested power of ${name}: its limit is at least this.`)
    if (least === null || powerW < least.powerW) least = { powerW, name }
  }
  if (tempC > POWER_AMBIENT_C)
    notes.push(
      `Power is lowered from ${POWER_AMBIENT_C} °C in proportion to the warming left up to ${HOTTEST_C} °C (trade practice).`,
    )
  notes.push('Mean power in still air; it says nothing of peak power. This figure is not permission to run.')
  return { powerLimitW: least?.powerW ?? null, limitedBy: least?.name ?? 'not known', notes }
}
