import type { DrumRow } from '../ledger/state-rows.ts'
import { inwardUm, outerUm } from '../ledger/strip-place.ts'
import { UM_PER_M } from '../quantity/length.ts'
import type { Stretch } from '../strip/usable.ts'
import type { FloorNow } from './floor-desk.ts'

/**
 * By drum, what of it a spark test is on record for, in places of now: what more/ holds, which counts from the outer end as
 * the works folder knew it, and of a mounted drum what has passed the electrode since it was threaded.
 */
export function testedNow({ works, state, hasStock }: FloorNow): Map<string, Stretch[]> {
  const recorded = works.sparkTested ?? new Map<string, Stretch[]>()
  if (!hasStock) return recorded
  const found = new Map<string, Stretch[]>()
  for (const row of state.drums.rows()) {
    const stretches = [...onRecord(row, recorded), ...runThrough(row, works.site.lines)]
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

function runThrough(row: DrumRow, lines: FloorNow['works']['site']['lines']): Stretch[] {
  const line = lines.find((l) => l.id === row.mountedOn)
  if (!line || row.mountedUm === undefined) return []
  const toCutterUm = Math.round(line.spark.toCutterM * UM_PER_M)
  const threadedUm = inwardUm(row, outerUm(row), row.mountedUm)
  return [{ fromUm: Math.max(0, threadedUm + toCutterUm), toUm: toCutterUm }]
}
