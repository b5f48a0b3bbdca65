import type { SignalQuantity } from '../works/more-signals.ts'
import { ClockOffset } from './clock-offset.ts'
import { CounterAgreement, type Disagreement } from './counter-agreement.ts'
import { CounterTrack } from './counter-track.ts'
import {
  type FoundSpark,
  type LineWatchSetup,
  QUANTITY_WORDS,
  type WatchFinding,
} from './line-watch-setup.ts'
import { RawSamples } from './raw-samples.ts'
import type { SignalSample } from './signal-news.ts'
import { SparkCount, type SparkWindow } from './spark-count.ts'
import { sparkPlace } from './spark-place.ts'

/** A signal that has not come for so many of its intervals is silent. */
const SILENT_POLLS = 3
/** A reset at a standstill is the operator's, if the cut is recorded within ten minutes. */
const CUT_GRACE_MS = 600_000
/** A new drum's end is brought to the cutter, and the counter set to nought, within so much, m. Estimate. */
const THREADING_M = 20
/** Sparks and speeds that wait for the counter's next reading; slips and placed sparks since the last cut. */
const MAX_KEPT = 64
/** The difference of the clocks is a median, so that what came quickly seems measured after it came: by so much at most, ms. Estimate. */
const EARLY_MS = 50
const MAX_FALLS = 32
const MAX_DEVICES = 64

/**
 * Watches one line: puts its sparks on the drum and says what is odd. Pure: it is told the time. Every time is brought to our
 * clock by the device's clock difference, so that an event is matched to the counter at the time at which it happened.
 */
export class LineWatch {
  readonly #setup: LineWatchSetup
  readonly #track: CounterTrack
  readonly #agreement = new CounterAgreement()
  readonly #sparks = new SparkCount()
  readonly #raw = new RawSamples()
  readonly #clocks = new Map<string, ClockOffset>()
  readonly #clockTold = new Set<string>()
  readonly #newest = new Map<SignalQuantity, { value: number; ms: number; arrivalMs: number }>()
  readonly #silent = new Set<SignalQuantity>()
  #unplaced: Unplaced[] = []
  #falls: { ms: number; fromM: number }[] = []
  #lateInARow = 0
  /** What had been counted at the last cut, and what of it was in doubt. */
  #start = { totalM: 0, doubtM: 0 }
  /** In doubt since, beyond what the track bridged: slip. */
  #slips: { ms: number; m: number }[] = []
  /** Nothing was cut from the drum yet: the next reset at rest is its nought. */
  #freshlyMounted = false
  /** A cut was recorded, and the counter not set to nought since. */
  #cutRecorded = false
  readonly #speeds: { ms: number; mPerS: number }[] = []
  /** With the stretch over which one spark fired again and again, and what had been counted then. */
  #placedSinceCut: { spark: FoundSpark; fromM: number; toM: number; countedM: number }[] = []
  #given = 0

  constructor(setup: LineWatchSetup) {
    this.#setup = setup
    this.#track = new CounterTrack(setup.maxMPerS)
  }

  /** The last value of a quantity; null before one came. `ms`: when it was measured, by our clock. */
  newest(quantity: SignalQuantity): { value: number; ms: number } | null {
    return this.#newest.get(quantity) ?? null
  }

  get silent(): SignalQuantity[] {
    return [...this.#silent]
  }

  take(sample: SignalSample): WatchFinding[] {
    const found: WatchFinding[] = []
    const { quantity, value, arrivalMs } = sample
    if (quantity === 'clock') {
      this.#clock(sample.device).add(value * 1000, arrivalMs)
      this.#seen(sample, arrivalMs, found)
      return found
    }
    if (sample.sourceMs !== null && !sample.retained)
      this.#clock(sample.device).add(sample.sourceMs, arrivalMs)
    const ms = this.#ourTime(sample)
    this.#seen(sample, ms, found)
    this.#raw.add(sample, ms)
    if (quantity === 'counter_m') this.#count(ms, value, found)
    if (quantity === 'speed_m_min') this.#speed(ms, value / 60, found)
    if (quantity === 'spark_event') this.#fired(sample, ms, found)
    this.#place(arrivalMs, false, found)
    return found
  }

  /** To be called about once a second, whatever comes. */
  tick(nowMs: number): WatchFinding[] {
    const found: WatchFinding[] = []
    for (const [quantity, { arrivalMs }] of this.#newest) {
      // A tester that is asked answers at each poll; one that sends may have nothing to say for hours.
      if (quantity === 'spark_event' && !this.#setup.polled.has(quantity)) continue
      const late = nowMs - arrivalMs
      if (late <= SILENT_POLLS * this.#poll(quantity) || this.#silent.has(quantity)) continue
      this.#silent.add(quantity)
      const text = `Nothing from the ${QUANTITY_WORDS[quantity]} for ${(late / 1000).toFixed(1)} s.`
      found.push({ kind: 'notice', code: 'silent', atMs: nowMs, text })
    }
    this.#tellClocks(nowMs, found)
    const old = this.#falls.filter(({ ms }) => nowMs - ms > CUT_GRACE_MS)
    this.#falls = this.#falls.filter(({ ms }) => nowMs - ms <= CUT_GRACE_MS)
    for (const { ms, fromM } of old) found.push(resetNotice(ms, fromM, 'at rest, and no cut is on record'))
    this.#place(nowMs, true, found)
    for (const { n, samples } of this.#raw.due(nowMs)) found.push({ kind: 'raw', n, samples })
    return found
  }

  /** A cut was recorded: the outer end lies at the cutter where it was made. Recorded while the next piece runs, it was at the last standstill. */
  cut(atMs: number): void {
    const at = this.#track.lastStandstill(atMs) ?? this.#track.at(atMs)
    if (at) this.#start = { totalM: at.totalM, doubtM: at.doubtM }
    this.#slips = this.#slips.filter((slip) => slip.ms > atMs)
    // A reset before it belongs to a cut; a run of equal coils is recorded at its end.
    const later = this.#falls.filter((fall) => fall.ms > atMs)
    this.#cutRecorded = later.length === this.#falls.length
    this.#falls = later
    this.#freshlyMounted = false
    this.#placedSinceCut = []
  }

  /** Another drum is on the payoff, its outer end at the cutter. */
  mounted(atMs: number): void {
    this.cut(atMs)
    this.#freshlyMounted = true
  }

  #seen(sample: SignalSample, ms: number, found: WatchFinding[]): void {
    const { quantity, value, arrivalMs } = sample
    const before = this.#newest.get(quantity)
    this.#newest.set(quantity, { value, ms, arrivalMs })
    if (!this.#silent.delete(quantity)) return
    const seconds = before ? (arrivalMs - before.arrivalMs) / 1000 : 0
    const text = `The ${QUANTITY_WORDS[quantity]} is back after ${seconds.toFixed(1)} s.`
    found.push({ kind: 'notice', code: 'back', atMs: arrivalMs, text })
  }

  #count(ms: number, value: number, found: WatchFinding[]): void {
    const speed = this.#newest.get('speed_m_min')
    const fresh = speed && Math.abs(ms - speed.ms) <= SILENT_POLLS * this.#poll('speed_m_min')
    const step = this.#track.add(ms, value, fresh ? speed.value / 60 : null)
    this.#lateInARow = step.kind === 'late' ? this.#lateInARow + 1 : 0
    // Readings that stay behind the last one: the device's clock was put back.
    if (this.#lateInARow === SILENT_POLLS) for (const clock of this.#clocks.values()) clock.forget()
    this.#compare(found)
    if (step.kind === 'plain' || step.kind === 'late') return
    this.#agreement.restart()
    if (step.kind === 'jumped') {
      const text = `The counter jumped from ${step.fromM.toFixed(2)} to ${value.toFixed(2)} m: what went by is reckoned by the speed.`
      found.push({ kind: 'notice', code: 'jump', atMs: ms, text })
    } else if (step.running) found.push(resetNotice(ms, step.fromM, 'while the line ran'))
    else this.#setToNought(ms, step.fromM)
  }

  /** A reset at rest: of a new drum, after a cut that is on record, or before one that is still to be recorded. */
  #setToNought(ms: number, fromM: number): void {
    const last = this.#track.last
    const fresh = this.#freshlyMounted && last && last.totalM - this.#start.totalM < THREADING_M
    if (fresh) this.#start = { totalM: last.totalM, doubtM: last.doubtM }
    else if (!this.#cutRecorded && this.#falls.length < MAX_FALLS) this.#falls.push({ ms, fromM })
    this.#freshlyMounted = false
    this.#cutRecorded = false
  }

  /** Held against the counter once that was read after it. */
  #speed(ms: number, mPerS: number, found: WatchFinding[]): void {
    this.#speeds.push({ ms, mPerS })
    if (this.#speeds.length > MAX_KEPT) this.#speeds.shift()
    this.#compare(found)
  }

  #compare(found: WatchFinding[]): void {
    const readMs = this.#track.last?.ms ?? 0
    while (this.#speeds.length > 0 && this.#speeds[0]!.ms <= readMs) {
      const { ms, mPerS } = this.#speeds.shift()!
      const at = this.#track.at(ms)
      if (!at || at.gapMs > SILENT_POLLS * this.#poll('counter_m')) {
        this.#agreement.restart()
        continue
      }
      const wrong = this.#agreement.add(ms, mPerS, at.totalM)
      if (!wrong) continue
      found.push({ kind: 'notice', code: wrong.kind, atMs: ms, text: disagreementText(wrong) })
      if (wrong.kind !== 'runs-at-nought')
        this.#slipped(wrong.sinceMs, Math.abs(wrong.ranM - wrong.countedM), found)
    }
  }

  /** What was not counted since `ms` is in doubt from there on, in the sparks of the last cut that were placed already too. */
  #slipped(ms: number, metres: number, found: WatchFinding[]): void {
    this.#slips.push({ ms, m: metres })
    if (this.#slips.length > MAX_KEPT) this.#slips.shift()
    for (const placed of this.#placedSinceCut) {
      if (placed.spark.atMs < ms) continue
      placed.spark.uncM += metres
      found.push({ kind: 'spark', spark: { ...placed.spark } })
    }
  }

  #fired(sample: SignalSample, ms: number, found: WatchFinding[]): void {
    const window = this.#sparks.add(sample, ms, this.#poll('spark_event'))
    if (!window) return
    const spreadMs = sample.sourceMs === null ? 0 : this.#clock(sample.device).spreadMs
    this.#unplaced.push({ ...window, spreadMs })
    if (this.#unplaced.length <= MAX_KEPT) return
    this.#unplaced.shift()
    const text = `More than ${MAX_KEPT} sparks wait for a reading of the counter: the oldest is not placed.`
    found.push({ kind: 'notice', code: 'unplaced', atMs: ms, text })
  }

  /** Places the sparks for which the counter was read after them; once it has been waited for in vain, by the last reading. */
  #place(nowMs: number, ticking: boolean, found: WatchFinding[]): void {
    const waiting: Unplaced[] = []
    for (const window of this.#unplaced) {
      const read = this.#track.last !== null && this.#track.last.ms >= window.toMs
      const patient = nowMs - window.toMs <= SILENT_POLLS * this.#poll('counter_m')
      if (read || (ticking && !patient)) this.#found(window, nowMs, found)
      else waiting.push(window)
    }
    this.#unplaced = waiting
  }

  #found(window: Unplaced, nowMs: number, found: WatchFinding[]): void {
    const atMs = (window.fromMs + window.toMs) / 2
    const placed = this.#placed(window)
    if (placed === null) {
      const text =
        'A spark was counted, and nothing is known of the counter at that time: it could not be placed.'
      found.push({ kind: 'notice', code: 'unplaced', atMs: nowMs, text })
      return
    }
    const { fromM, uncM, countedM } = placed
    let at = this.#placedSinceCut.at(-1)
    // Firings nearer to each other than the electrode is long cannot be told apart.
    if (at && Math.abs(countedM - at.countedM) < this.#setup.electrodeM) {
      at.fromM = Math.min(at.fromM, fromM)
      at.toM = Math.max(at.toM, fromM)
      at.countedM = countedM
      at.spark.fromM = (at.fromM + at.toM) / 2
      at.spark.uncM = Math.max(at.spark.uncM, uncM + (at.toM - at.fromM) / 2)
    } else {
      at = { spark: { n: ++this.#given, atMs, fromM, uncM }, fromM, toM: fromM, countedM }
      this.#placedSinceCut.push(at)
      if (this.#placedSinceCut.length > MAX_KEPT) this.#placedSinceCut.shift()
      this.#raw.keep(at.spark.n, atMs)
    }
    found.push({ kind: 'spark', spark: { ...at.spark } })
  }

  #placed(window: Unplaced) {
    const [from, to] = [this.#track.at(window.fromMs), this.#track.at(window.toMs)]
    if (from === null || to === null) return null
    const middleMs = (window.fromMs + window.toMs) / 2
    const at = this.#track.at(middleMs)!
    const speedMPerS = Math.abs(this.#track.rateMPerS(window.toMs))
    // Where the counter itself was not read for a while, it may have gone by any time in between.
    const holeMs = Math.max(from.gapMs, to.gapMs)
    const holeM = holeMs > SILENT_POLLS * this.#poll('counter_m') ? (speedMPerS * holeMs) / 2000 : 0
    const counted = (from.totalM + to.totalM) / 2 - this.#start.totalM
    const slipM = this.#slips.reduce((sum, slip) => sum + (slip.ms <= middleMs ? slip.m : 0), 0)
    const { errorRatio, toCutterM } = this.#setup
    const halfLookM = Math.max(Math.abs(to.totalM - from.totalM) / 2, holeM)
    const doubtM = Math.max(0, at.doubtM - this.#start.doubtM) + slipM + (speedMPerS * window.spreadMs) / 1000
    const place = sparkPlace({ countedM: counted, errorRatio, toCutterM, halfLookM, doubtM })
    return { ...place, countedM: counted }
  }

  #tellClocks(nowMs: number, found: WatchFinding[]): void {
    for (const [device, clock] of this.#clocks) {
      const ms = clock.worthTellingMs
      if (ms === null) this.#clockTold.delete(device)
      else if (!this.#clockTold.has(device)) {
        this.#clockTold.add(device)
        const how = ms > 0 ? 'fast' : 'slow'
        const text = `The clock of ${device} is ${Math.abs(ms / 1000).toFixed(1)} s ${how} against ours; times are reckoned by ours.`
        found.push({ kind: 'notice', code: 'clock', atMs: nowMs, text })
      }
    }
  }

  #ourTime({ device, sourceMs, arrivalMs, retained }: SignalSample): number {
    if (sourceMs === null) return arrivalMs
    const ms = sourceMs - this.#clock(device).medianMs
    // nothing is measured after it came
    return retained ? Math.min(ms, arrivalMs) : Math.min(ms, arrivalMs + EARLY_MS)
  }

  #clock(device: string): ClockOffset {
    let clock = this.#clocks.get(device)
    if (!clock) {
      clock = new ClockOffset()
      if (this.#clocks.size < MAX_DEVICES) this.#clocks.set(device, clock)
    }
    return clock
  }

  #poll(quantity: SignalQuantity): number {
    return this.#setup.pollMs.get(quantity) ?? 1_000
  }
}

/** A spark before the counter's next reading; `spreadMs`: how sure its time is. */
interface Unplaced extends SparkWindow {
  spreadMs: number
}

function resetNotice(atMs: number, fromM: number, how: string): WatchFinding {
  const text = `The counter was set back from ${fromM.toFixed(2)} m ${how}.`
  return { kind: 'notice', code: 'reset', atMs, text }
}

function disagreementText(wrong: Disagreement): string {
  if (wrong.kind === 'runs-at-nought')
    return `The counter went on by ${wrong.countedM.toFixed(2)} m while the speed is nought.`
  if (wrong.kind === 'stands')
    return `The line ran ${wrong.ranM.toFixed(1)} m by its speed and the counter stands.`
  return `By the speed the line ran ${wrong.ranM.toFixed(1)} m, by the counter ${wrong.countedM.toFixed(1)} m: it slips, or one of them is wrong.`
}
