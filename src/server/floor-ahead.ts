import { setImmediate } from 'node:timers/promises'
import { hasCuts } from '../ledger/plan-now.ts'
import { counterCorrection } from '../measure/counter-correction.ts'
import type { AheadDrum, FloorAhead } from '../works/floor-api.ts'
import {
  cutsShown,
  nextDrumShown,
  type PlanSource,
  sheetOf,
  sheetWorks,
  uncertaintyOf,
} from './floor-mounting.ts'

/** Mountings of one line that its station keeps: more than a shift without the network mounts. */
const MOST_AHEAD = 8

/**
 * The next mountings of a line with all their cuts, in the order of the plan, for a station to keep. Records that are booked
 * meanwhile do not wait for it: between two mountings it lets others through.
 */
export async function floorAhead(source: PlanSource, place: string): Promise<FloorAhead> {
  const { now, released, open } = source
  const mounted = new Set<string>()
  for (const row of now.state.drums.rows()) if (row.mountedOn === place) mounted.add(row.drum)
  const own = open.filter((m) => m.line === place && hasCuts(m))
  // of a drum that is on the line, the first mounting is what runs
  const running = own.find((m) => mounted.has(m.drum))
  const next = own.filter((m) => m !== running)
  const works = sheetWorks(now)
  const line = works.site.lines.find((l) => l.id === place) ?? null
  const unc = uncertaintyOf(line, line ? counterCorrection(line.id, works.counterChecks) : null)
  const drums: AheadDrum[] = []
  for (const mounting of next.slice(0, MOST_AHEAD)) {
    await setImmediate()
    const sheet = sheetOf(source, works, mounting, place)
    if (!sheet) continue
    drums.push({
      drum: nextDrumShown(source, sheet.usable, mounting),
      cuts: cutsShown(source, sheet, mounting, unc),
      dangers: sheet.dangers,
      drawing: { usable: sheet.usable, mounting: sheet.mounting },
    })
  }
  const more = Math.max(0, next.length - MOST_AHEAD)
  return { line: place, seq: now.seq, planId: released?.planId ?? null, drums, more }
}
