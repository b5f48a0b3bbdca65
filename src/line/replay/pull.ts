import { type Found, placeText } from './finding.ts'
import type { Places } from './place.ts'
import { REPLAY_LIMITS, type RunSetup } from './run-setup.ts'
import { stretches } from './stretches.ts'
import type { Timeline } from './timeline.ts'

/** Where tension leaves the band about its setting, and where the dancer nears its stops; while cable moves. */
export function pullFindings(timeline: Timeline, places: Places, setup: RunSetup): Found[] {
  return [...tensionFindings(timeline, places, setup), ...dancerFindings(timeline, places, setup)]
}

function tensionFindings({ samples }: Timeline, places: Places, { cable }: RunSetup): Found[] {
  const set = cable.lineTensionN
  const smooth = samples.map((_, i) =>
    middle(tensionAt(samples, i - 1), tensionAt(samples, i), tensionAt(samples, i + 1)),
  )
  const found: Found[] = []
  const over = (i: number) => samples[i]!.tensionN > cable.pullMaxN
  for (const { from, to } of stretches(samples.length, over, 2)) {
    const peakN = extreme(
      samples.map((s) => s.tensionN),
      from,
      to,
      1,
    )
    const text = `Tension ${peakN.toFixed(0)} N at ${where(places, from, to)}, above the greatest pull of the type, ${cable.pullMaxN} N: this stretch is suspect.`
    found.push({ kind: 'tension', severity: 'wrong', text, from, to, ...size(peakN - set, 'N') })
  }
  for (const sign of [1, -1])
    for (const { from, to } of excursions(
      smooth,
      set,
      sign,
      (i) => samples[i]!.vMS > REPLAY_LIMITS.standstillMS,
    )) {
      if (found.some((f) => f.from <= to && f.to >= from)) continue
      const worstN = extreme(smooth, from, to, sign)
      const off = Math.round((100 * Math.abs(worstN - set)) / set)
      const text = `Tension ${worstN.toFixed(0)} N at ${where(places, from, to)}, ${off} % ${sign > 0 ? 'above' : 'below'} the ${set} N of the setting, ${phase(samples, from, to)}.`
      found.push({ kind: 'tension', severity: 'watch', text, from, to, ...size(worstN - set, 'N') })
    }
  return found
}

/** Out beyond the band, back within half of it: a value that plays about the limit is one excursion. Two samples at least. */
function excursions(smooth: number[], set: number, sign: number, moving: (i: number) => boolean) {
  const out = REPLAY_LIMITS.tensionBandRatio * set
  let away = false
  const test = (i: number) => {
    const off = sign * (smooth[i]! - set)
    away = moving(i) && (away ? off > out / 2 : off > out)
    return away
  }
  return stretches(smooth.length, test).filter(({ hits }) => hits >= 2)
}

function dancerFindings({ samples }: Timeline, places: Places, { line }: RunSetup): Found[] {
  const { limitLowPct, limitHighPct } = line.dancer
  const near = REPLAY_LIMITS.dancerNearPct
  const dancers = samples.map((sample) => sample.dancerPct)
  const found: Found[] = []
  for (const sign of [1, -1]) {
    const limit = sign > 0 ? limitHighPct : limitLowPct
    const close = (i: number) =>
      samples[i]!.vMS > REPLAY_LIMITS.standstillMS && sign * (dancers[i]! - limit) > -near
    for (const { from, to, hits } of stretches(samples.length, close, 5)) {
      if (hits < 2) continue
      const worst = extreme(dancers, from, to, sign)
      const beyond = sign * (worst - limit) > 0
      const text = `Dancer at ${worst.toFixed(0)} % of its travel at ${where(places, from, to)}, ${beyond ? 'beyond' : 'near'} its limit of ${limit} %, ${phase(samples, from, to)}.`
      found.push({
        kind: 'dancer',
        severity: beyond ? 'wrong' : 'watch',
        text,
        from,
        to,
        ...size(worst, '%'),
      })
    }
  }
  return found
}

function size(value: number, unit: 'N' | '%'): Pick<Found, 'size' | 'unit'> {
  return { size: value, unit }
}

function where(places: Places, from: number, to: number): string {
  return placeText(places.atM[from]!, places.atM[to]!)
}

/** What the line was doing, by the change of its speed over the stretch (a tenth of a metre per second squared and more is a ramp). */
function phase(samples: { vMS: number; tS: number }[], from: number, to: number): string {
  const [a, b] = [samples[Math.max(0, from - 3)]!, samples[Math.min(samples.length - 1, to + 3)]!]
  const rate = (b.vMS - a.vMS) / (b.tS - a.tS || 1)
  if (rate > 0.1) return 'while speeding up'
  return rate < -0.1 ? 'while slowing down' : 'at even speed'
}

function tensionAt(samples: { tensionN: number }[], i: number): number {
  return samples[Math.max(0, Math.min(samples.length - 1, i))]!.tensionN
}

function middle(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c))
}

function extreme(values: number[], from: number, to: number, sign: number): number {
  let worst = Number.NEGATIVE_INFINITY
  for (let i = from; i <= to; i++) if (sign * values[i]! > worst) worst = sign * values[i]!
  return sign * worst
}
