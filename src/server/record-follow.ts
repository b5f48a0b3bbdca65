import {
  drumOf,
  drumsOnStrips,
  faultOf,
  lotTest,
  stretchesOn,
  stripRow,
  stripsOfLot,
} from '../store/record-queries.ts'
import type { FollowAnswer } from '../works/records-api.ts'
import { recallOf } from './record-recall.ts'
import { shortChanceOf, traceOf } from './record-trace.ts'
import type { RecordWorks } from './record-works.ts'

/** Whatever was scanned or typed: a serial, a strip or drum, a lot, a fault. */
export async function followOf(works: RecordWorks, id: string): Promise<FollowAnswer> {
  const trace = await traceOf(works, id)
  if (trace) return { kind: 'piece', trace, short: shortChanceOf(trace) }
  const fault = await faultOf(works.db, id)
  const strip = await stripOf(works, fault?.strip ?? (await drumOf(works.db, id))?.strip ?? id)
  if (strip) return strip
  const strips = await stripsOfLot(works.db, id)
  if (strips.length === 0) return { kind: 'unknown', id }
  const { recall } = await recallOf(works, { lot: id })
  return { kind: 'lot', lot: id, test: await lotTest(works.db, id), strips, recall }
}

async function stripOf(works: RecordWorks, id: string): Promise<FollowAnswer | null> {
  const strip = await stripRow(works.db, id)
  if (!strip) return null
  return {
    ...{ kind: 'strip', strip },
    drums: await drumsOnStrips(works.db, [id]),
    stretches: await stretchesOn(works.db, id),
    lot: await lotTest(works.db, strip.lot),
  }
}
