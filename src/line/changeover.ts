import type { RewindingLine } from '../hall/rewinding-line.ts'
import type { Putup } from '../putup/putup.ts'
import type { Interval } from '../strip/cut-plan.ts'

/** Minutes to mount the drum, by the plan's own rule: what the line had before its first mounting is not recorded and counts as the same cable. */
export function mountMinutes(line: RewindingLine, cable: string, cableBefore: string | null): number {
  return cableBefore === null || cable === cableBefore
    ? line.changeoverMin.newDrumSameCable
    : line.changeoverMin.newCable
}

/** Minutes between the wound pieces of a mounting, put-up by put-up; the first one belongs to the mounting of the drum. */
export function putupMinutes(line: RewindingLine, intervals: Interval[]): number {
  let minutes = 0
  let before: string | null = null
  for (const interval of intervals) {
    const putup = 'putup' in interval ? interval.putup : null
    if (putup === null) continue
    if (before !== null)
      minutes +=
        putup === before ? line.changeoverMin.sameCableSamePutup : line.changeoverMin.sameCableNewPutup
    before = putup
  }
  return minutes
}

/**
 * Seconds of cutting, tying and labelling after a cut; a bench length is coiled up. Scrap has none on record and counts
 * with its run only.
 */
export function handlingS(line: RewindingLine, interval: Interval, putup: Putup | undefined): number {
  if (interval.use === 'scrap' || interval.use === 'end') return 0
  const kind = putup?.kind ?? 'coil'
  return line.cutTieLabelS[kind === 'process_drum' ? 'drum' : kind]
}
