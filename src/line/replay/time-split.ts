import type { Found } from './finding.ts'
import type { Places } from './place.ts'
import { REPLAY_LIMITS, type RunSetup } from './run-setup.ts'
import type { Timeline } from './timeline.ts'
import type { PieceSpan } from './travel.ts'

/** Where the time of a recorded run went. The parts add up to the whole. */
export interface TimeSplit {
  totalS: number
  runningS: number
  /** Part of running: at crawl speed, before the stop. */
  crawlingS: number
  /** Standing at the end of a piece or before its start, as long as cutting, tying and labelling may take. */
  handlingS: number
  /** Standing for any other reason. */
  waitingS: number
  /** Part of waiting: short stops in mid-piece. */
  microStops: number
  microStopS: number
  /** Not recorded. */
  unknownS: number
}

interface Standstill {
  piece: PieceSpan
  from: number
  to: number
  seconds: number
}

/** Splits the time of a run; stops in mid-piece become findings. */
export function timeSplit(
  { sinceS, samples, gapBefore }: Timeline,
  places: Places,
  pieces: PieceSpan[],
  { line }: RunSetup,
): { split: TimeSplit; findings: Found[] } {
  const split: TimeSplit = {
    ...{ totalS: sinceS.at(-1) ?? 0, runningS: 0, crawlingS: 0, handlingS: 0, waitingS: 0 },
    ...{ microStops: 0, microStopS: 0, unknownS: 0 },
  }
  const crawlMS = (1.1 * line.vCreepMMin) / 60
  const stills: Standstill[] = []
  for (let i = 1; i < samples.length; i++) {
    const seconds = sinceS[i]! - sinceS[i - 1]!
    const goneM = places.atM[i]! - places.atM[i - 1]!
    const last = stills.at(-1)
    if (gapBefore[i] === 1) split.unknownS += seconds
    else if (goneM > REPLAY_LIMITS.standstillMS * seconds || samples[i]!.vMS > REPLAY_LIMITS.standstillMS) {
      split.runningS += seconds
      if (samples[i]!.vMS <= crawlMS && samples[i]!.vSetMS <= crawlMS) split.crawlingS += seconds
    } else if (last && last.to === i - 1) {
      last.to = i
      last.seconds += seconds
    } else stills.push({ piece: pieceOf(pieces, i), from: i - 1, to: i, seconds })
  }
  const handlingMaxS = Math.max(...Object.values(line.cutTieLabelS))
  const findings: Found[] = []
  for (const still of stills) {
    if (atAnEnd(still, samples, line.stopSdM)) {
      split.handlingS += Math.min(still.seconds, handlingMaxS)
      split.waitingS += Math.max(0, still.seconds - handlingMaxS)
      continue
    }
    split.waitingS += still.seconds
    const micro = still.seconds <= REPLAY_LIMITS.microStopMaxS
    if (micro) {
      split.microStops++
      split.microStopS += still.seconds
    }
    findings.push(stopFinding(still, places.atM[still.from]!, micro))
  }
  return { split, findings }
}

function pieceOf(pieces: PieceSpan[], i: number): PieceSpan {
  return pieces.find((piece) => i <= piece.to) ?? pieces.at(-1)!
}

/** Before the piece began, or where its counter had reached the preset. */
function atAnEnd({ piece, from, to }: Standstill, samples: Timeline['samples'], stopSdM: number): boolean {
  const startM = samples[piece.from]!.countM
  if (samples[to]!.countM - startM <= 0.05) return true
  const { countM, targetM } = samples[from]!
  return to >= piece.to || countM >= targetM - Math.max(0.1, 5 * stopSdM)
}

function stopFinding({ from, to, seconds }: Standstill, placeM: number, micro: boolean): Found {
  const at = `at ${placeM.toFixed(1)} m, in mid-piece`
  const text = micro
    ? `Micro-stop of ${seconds.toFixed(1)} s ${at}.`
    : `The line stood for ${(seconds / 60).toFixed(1)} min ${at}.`
  const facts = { from, to, fromM: placeM, toM: placeM, size: seconds, unit: 's' as const }
  return { kind: micro ? 'micro-stop' : 'stop', severity: micro ? 'note' : 'watch', text, ...facts }
}
