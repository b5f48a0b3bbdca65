import { returnLossDb } from '../cable/reflection.ts'
import type { Bump } from './bumps.ts'
import type { Chain } from './chain.ts'

/** A bump told in the words of the bench. */
export interface PlacedBump {
  /** From the reference plane of end A, m; half of the resolution on either side. */
  atM: number
  plusMinusM: number
  /** As it stands at its place, the loss of the way there and back taken off, mean over the band. */
  returnLossDb: number
  what: string
}

/** Which end a place is: at least this far from a plane counts as the end, m, since a connector has a length of its own. */
const CONNECTOR_M = 0.03

/**
 * Bumps seen from both ends as places from end A. What both ends see is told once, by the end that is nearer, which sees it
 * better; what one end alone sees counts as well.
 */
export function placedBumps(
  chain: Chain,
  lengthM: number,
  fromA: Bump[],
  fromB: Bump[],
  velocitySpread: number,
): PlacedBump[] {
  const all = [
    ...fromA.map((bump) => ({ ...bump, end: 'A', seenFromM: bump.atM })),
    ...fromB.map((bump) => ({ ...bump, atM: lengthM - bump.atM, end: 'B', seenFromM: bump.atM })),
  ].sort((p, q) => p.seenFromM - q.seenFromM)
  const kept: typeof all = []
  for (const bump of all) {
    // what one end tells apart stays apart; the two ends agree no better than the velocity is known
    const same = (other: (typeof all)[number]) =>
      other.end !== bump.end &&
      Math.abs(other.atM - bump.atM) <=
        Math.max(2 * bump.resolutionM, 2 * other.resolutionM, velocitySpread * lengthM)
    // an echo from beyond the far end is no place of the lead
    if (bump.atM < -slack(bump) || bump.atM > lengthM + slack(bump) || kept.some(same)) continue
    kept.push(bump)
  }
  return strongest(kept)
    .sort((p, q) => p.atM - q.atM)
    .map((bump) => ({
      atM: Math.min(lengthM, Math.max(0, bump.atM)),
      plusMinusM: bump.resolutionM + velocitySpread * bump.seenFromM,
      returnLossDb: returnLossDb(bump.gammaAtPlace),
      what: whatSitsThere(chain, lengthM, bump),
    }))
}

/** More than so many places nobody looks at. */
const MOST_BUMPS = 40

function strongest<B extends Bump>(bumps: B[]): B[] {
  return [...bumps].sort((p, q) => q.gammaAtPlace - p.gammaAtPlace).slice(0, MOST_BUMPS)
}

const slack = (bump: Bump): number => Math.max(CONNECTOR_M, 2 * bump.resolutionM)

function whatSitsThere(chain: Chain, lengthM: number, bump: Bump): string {
  const near = Math.abs(bump.atM) <= slack(bump)
  const far = Math.abs(bump.atM - lengthM) <= slack(bump)
  const worse = (part: string, rlMinDb: number) =>
    returnLossDb(bump.gammaAtPlace) < rlMinDb ? `${part}, worse than its ${rlMinDb} dB` : part
  const a = chain.a ? worse(`connector ${chain.a.part}`, chain.a.rlMinDb) : 'end A'
  const b = chain.b ? worse(`connector ${chain.b.part}`, chain.b.rlMinDb) : 'end B'
  // so short a lead that its ends cannot be told apart
  if (near && far)
    return Math.abs(bump.atM) * 2 <= lengthM
      ? `near ${a}, not told apart from the far end`
      : `far ${b}, not told apart from the near end`
  if (near) return `near ${a}`
  if (far) return `far ${b}`
  return `the line, ${bump.atM.toFixed(2)} m in`
}
