import type { DrumRow, StretchRow } from '../ledger/state-rows.ts'
import { between, inwardUm, outerUm } from '../ledger/strip-place.ts'
import { type LengthUm, UM_PER_M } from '../quantity/length.ts'
import type { Stretch } from '../strip/usable.ts'
import type { FloorNow } from './floor-desk.ts'

/**
 * By drum, what of it a spark test is on record for, in places of now: what more/ holds, which counts from the outer end as
 * the works folder knew it, and of a mounted drum what has passed the electrode since it was threaded.
 */
export function testedNow(now: FloorNow): Map<string, Stretch[]> {
  const { works, state, hasStock } = now
  const recorded = works.sparkTested ?? new Map<string, Stretch[]>()
  if (!hasStock) return recorded
  const found = new Map<string, Stretch[]>()
  for (const row of state.drums.rows()) {
    const stretches = [...onRecord(row, recorded), ...runThrough(now, row)]
    const left = stretches.filter((s) => s.toUm > 0 && s.toUm > s.fromUm)
    if (left.length > 0) found.set(row.drum, left)
  }
  return found
}

/** A strip that was taken over from the folder begins where its drum's outer end lay then. */
function onRecord(row: DrumRow, recorded: ReadonlyMap<string, Stretch[]>): Stretch[] {
  return (recorded.get(row.strip) ?? []).map(({ fromUm, toUm }) => {
    const a = inwardUm(row, outerUm(row), fromUm)
    const b = inwardUm(row, outerUm(row), toUm)
    return { fromUm: Math.max(0, Math.min(a, b)), toUm: Math.max(a, b) }
  })
}

function runThrough({ works, state }: FloorNow, row: DrumRow): Stretch[] {
  const line = works.site.lines.find((l) => l.id === row.mountedOn)
  if (!line || row.mountedUm === undefined) return []
  const toCutterUm = Math.round(line.spark.toCutterM * UM_PER_M)
  const passedUm = takenOffUm(state.stretches.get(row.strip) ?? [], row, row.mountedUm)
  return [{ fromUm: Math.max(0, toCutterUm - passedUm), toUm: toCutterUm }]
}

/**
 * True length that came off a drum since it was mounted. Each cut is worth what it measured when it was cut: the drum's ratio
 * is of what is left on it, and a rest that turns out shorter makes nothing shorter that has gone before.
 */
function takenOffUm(stretches: StretchRow[], row: DrumRow, mountedUm: LengthUm): LengthUm {
  const off = between(mountedUm, outerUm(row))
  let um = 0
  for (const { fromUm, toUm, ratio } of stretches)
    um += Math.max(0, Math.min(toUm, off.toUm) - Math.max(fromUm, off.fromUm)) * ratio
  return Math.round(um)
}
