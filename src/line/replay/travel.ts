import type { RewindingLine } from '../../hall/rewinding-line.ts'
import type { RunSample } from '../run-sample.ts'
import type { Found } from './finding.ts'
import { median } from './robust.ts'
import type { Timeline } from './timeline.ts'

/** Samples from one start of the take-up to the next: one piece on one put-up. */
export interface PieceSpan {
  /** First and last sample. */
  from: number
  to: number
}

/** How far the cable had come at each sample by the counter alone, over resets and jumps of its figure. */
export interface Travel {
  /** m; begins at the first figure of the counter. */
  atM: Float64Array
  /** Standard uncertainty gathered so far where the counter's figure had to be bridged, m. */
  bridgedUncertaintyM: Float64Array
  pieces: PieceSpan[]
  findings: Found[]
}

/** Steps back up to this are the cable creeping back in the stop, m. Estimate. */
const CREEP_BACK_M = 0.05
/** A figure that runs ahead of all other witnesses by this in one step has jumped, m. Estimate. */
const JUMP_M = 0.25

/** Unwraps the counter. Where its figure falls or leaps, the take-up turns say how far the cable went; without them, the speed. */
export function travelOf(
  { samples, sinceS, gapBefore }: Timeline,
  counter: RewindingLine['counter'],
): Travel {
  const size = samples.length
  const atM = new Float64Array(size)
  const bridgedUncertaintyM = new Float64Array(size)
  const travel: Travel = { atM, bridgedUncertaintyM, pieces: [], findings: [] }
  const perTurn = recentPerTurn()
  let last = samples.findIndex((sample) => Number.isFinite(sample.countM))
  let pieceFrom = 0
  atM.fill(last < 0 ? 0 : samples[last]!.countM, 0, last + 1)
  for (let i = last + 1; i < size && last >= 0; i++) {
    const [before, now] = [samples[last]!, samples[i]!]
    if (!Number.isFinite(now.countM)) continue
    const seconds = sinceS[i]! - sinceS[last]!
    const gap = gapBefore.subarray(last + 1, i + 1).includes(1)
    const bridge = bridgeOf(before, now, seconds, gap, perTurn)
    const step = bridge ? bridge.stepM : now.countM - before.countM
    if (bridge) {
      bridgedUncertaintyM[i] = bridge.newPiece ? 0 : bridgeUncertaintyM(bridge, counter)
      travel.findings.push({
        ...brokenCount(before, now, bridge, bridgedUncertaintyM[i]!),
        from: last,
        to: i,
      })
    } else perTurn.add(step, now.takeupTurns - before.takeupTurns)
    if (bridge?.newPiece) {
      travel.pieces.push({ from: pieceFrom, to: last })
      pieceFrom = i
      perTurn.forget()
    }
    // samples between without a figure lie on a straight line
    for (let k = last + 1; k < i; k++)
      atM[k] = atM[last]! + (step * (sinceS[k]! - sinceS[last]!)) / (seconds || 1)
    atM[i] = atM[last]! + step
    last = i
  }
  if (last >= 0) atM.fill(atM[last]!, last)
  travel.pieces.push({ from: pieceFrom, to: size - 1 })
  for (let i = 1; i < size; i++)
    bridgedUncertaintyM[i] = Math.hypot(bridgedUncertaintyM[i - 1]!, bridgedUncertaintyM[i]!)
  return travel
}

interface Bridge {
  stepM: number
  by: 'turns' | 'speed'
  newPiece: boolean
}

/** What lies between two figures of the counter that do not follow from each other; null where they do. */
function bridgeOf(
  before: RunSample,
  now: RunSample,
  seconds: number,
  gap: boolean,
  perTurn: ReturnType<typeof recentPerTurn>,
): Bridge | null {
  const gone = now.countM - before.countM
  const bySpeedM = ((before.vMS + now.vMS) / 2) * seconds || 0
  const falls = gone < -CREEP_BACK_M
  if (!falls && gone - bySpeedM <= JUMP_M) return null
  const turns = now.takeupTurns - before.takeupTurns
  if (falls && turns < -0.5) return { stepM: Math.max(0, now.countM), by: 'turns', newPiece: true }
  const byTurnsM = turns >= 0 ? turns * perTurn.value() : Number.NaN
  const known = Number.isFinite(byTurnsM)
  const stepM = known ? byTurnsM : bySpeedM
  // over a gap the speed may have been anything
  if (!falls && ((gap && !known) || gone - Math.max(stepM, bySpeedM) <= JUMP_M + 0.2 * stepM)) return null
  return { stepM, by: known ? 'turns' : 'speed', newPiece: false }
}

/** A step by turns is as good as one turn is known where a layer may just have begun, 2 %, and two readings; one by speed as good as a speed that may change within it, 5 %. Estimates. */
function bridgeUncertaintyM({ stepM, by }: Bridge, counter: RewindingLine['counter']): number {
  const readingM = Math.max(0.001, counter.wheelCircMm / 1000 / counter.pulsesPerTurn)
  return Math.hypot((by === 'turns' ? 0.02 : 0.05) * stepM, readingM)
}

function brokenCount(
  before: { countM: number },
  now: { countM: number },
  { stepM, newPiece }: Bridge,
  uncertaintyM: number,
): Omit<Found, 'from' | 'to'> {
  const [from, to] = [before.countM.toFixed(2), now.countM.toFixed(2)]
  if (newPiece) {
    const text = `Counter and take-up turns began anew at ${from} m: the next piece.`
    return { kind: 'piece-start', severity: 'note', text }
  }
  const size = now.countM - before.countM - stepM
  const falls = now.countM < before.countM
  const how = falls ? `fell from ${from} to ${to} m` : `leapt from ${from} to ${to} m`
  const text = `The counter ${how} while ${stepM.toFixed(2)} m of cable passed: from here on it shows ${Math.abs(size).toFixed(2)} m ${size < 0 ? 'less' : 'more'} than went through.`
  const kind = falls ? 'counter-reset' : 'counter-jump'
  return { kind, severity: 'wrong', text, size, sizeUncertainty: 2 * uncertaintyM, unit: 'm' }
}

/** Metres per turn over the last steps: enough for one step, whatever the layer. */
function recentPerTurn() {
  let lengths: number[] = []
  let turned: number[] = []
  return {
    add(lengthM: number, turns: number) {
      if (!(turns > 0) || !(lengthM >= 0)) return
      lengths.push(lengthM)
      turned.push(turns)
      if (lengths.length > 30) {
        lengths = lengths.slice(-20)
        turned = turned.slice(-20)
      }
    },
    value(): number {
      const recent = lengths.slice(-20)
      const ratios = recent.map((length, i) => length / turned.slice(-20)[i]!)
      return ratios.length < 5 ? Number.NaN : median(ratios)
    },
    forget() {
      lengths = []
      turned = []
    },
  }
}
