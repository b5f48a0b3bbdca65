import type { MotionPhase } from '../../line/motion-profile.ts'
import { speedAt } from '../../line/motion-profile.ts'
import { type Random, seededRandom } from '../../plan/random.ts'

/** One cut as it is run: the phases of its run, and what handling takes after it. */
export interface SimulatedCut {
  phases: readonly MotionPhase[]
  handlingS: number
}

export interface SimulatedFaults {
  /** Sparks on average per 100 m. */
  sparksPer100M: number
  /** Stretches in which the wheel slips: this share of the cable is not counted there. */
  slips: { atM: number; lengthM: number; share: number }[]
  /** Counter set to nought in mid-run, at these places. */
  resetsAtM: number[]
}

export interface SimulatedSetup {
  seed: number
  cuts: readonly SimulatedCut[]
  toCutterM: number
  electrodeM: number
  /** What the counter is truly wrong by: counter/tape − 1. */
  errorRatio: number
  /** One pulse of the counter, m. */
  pulseM: number
  tensionN: number
  dancerCentrePct: number
  odMm: number
  /** Spread of where a run comes to rest, m. */
  stopSdM: number
  /** Time at rest before the first run, s. */
  firstWaitS: number
  faults: SimulatedFaults
}

/** What the devices of the line show at one moment. */
export interface SimulatedReading {
  tS: number
  counterM: number
  speedMPerS: number
  sparks: number
  tensionN: number
  dancerPct: number
  diameterMm: number
}

/** What truly happened, in the order of time. */
export type SimulatedTruth =
  /** `fromOuterM`: true place inward of the outer end, as the drum stood then. */
  | { kind: 'spark'; tS: number; fromOuterM: number }
  /** `lengthM`: true length of the piece. */
  | { kind: 'cut'; tS: number; cut: number; lengthM: number }
  | { kind: 'reset'; tS: number }
  | { kind: 'slip'; tS: number; missedM: number }
  | { kind: 'end'; tS: number }

const STEP_S = 0.01
/** The counter is set to nought so long before the next start. */
const NOUGHT_BEFORE_S = 2

/** A rewinding line that runs its cuts one after the other, from a seed: the truth, and what the devices show of it. */
export class SimulatedLine {
  readonly #setup: SimulatedSetup
  readonly #random: Random
  readonly #truth: SimulatedTruth[] = []
  readonly #flaws: number[]
  #tS = 0
  /** True metres past the cutter since the beginning; of the last cut. */
  #gone = 0
  #cutAt = 0
  #counted = 0
  #sparks = 0
  #speed = 0
  #before = 0
  #cut = 0
  #phase = 0
  #phaseS = 0
  #restS: number
  #cutMade = true
  readonly #slips: { fromM: number; toM: number; share: number; told: boolean }[]
  readonly #resets: number[]

  constructor(setup: SimulatedSetup) {
    this.#setup = setup
    this.#random = seededRandom(setup.seed)
    this.#restS = setup.firstWaitS
    const lengthM = setup.cuts.reduce((sum, { phases }) => sum + metresOf(phases), 0)
    this.#flaws = this.#placedFlaws(lengthM)
    this.#slips = setup.faults.slips.map(({ atM, lengthM: l, share }) => ({
      ...{ fromM: atM, toM: atM + l, share, told: false },
    }))
    this.#resets = [...setup.faults.resetsAtM].sort((a, b) => a - b)
  }

  get truth(): readonly SimulatedTruth[] {
    return this.#truth
  }

  get ended(): boolean {
    return this.#truth.at(-1)?.kind === 'end'
  }

  /** Runs on to a time, s since the beginning, and says what the devices show then. */
  advanceTo(tS: number): SimulatedReading {
    while (this.#tS + STEP_S / 2 < tS && !this.ended) this.#step()
    const pulses = Math.floor(this.#counted / this.#setup.pulseM)
    const swing = this.ended ? 0 : (this.#speed - this.#before) / STEP_S
    return {
      tS,
      counterM: pulses * this.#setup.pulseM,
      speedMPerS: this.ended ? 0 : this.#speed,
      sparks: this.#sparks,
      tensionN: this.#speed > 0 ? this.#setup.tensionN * (1 + 0.03 * this.#normal()) : 0,
      dancerPct: Math.min(100, Math.max(0, this.#setup.dancerCentrePct + 12 * swing + this.#normal())),
      diameterMm: this.#setup.odMm * (1 + 0.001 * this.#normal()),
    }
  }

  #step(): void {
    this.#tS += STEP_S
    if (this.#restS > 0) {
      this.#rest()
      return
    }
    const phases = this.#setup.cuts[this.#cut]!.phases
    const phase = phases[this.#phase]
    if (!phase) {
      this.#stop()
      return
    }
    const left = Math.min(STEP_S, phase.durationS - this.#phaseS)
    this.#before = this.#speed
    this.#speed = Math.max(0, speedAt(phase, this.#phaseS + left))
    this.#move(((this.#before + this.#speed) / 2) * left)
    this.#phaseS += left
    if (phase.durationS - this.#phaseS < 1e-9) {
      this.#phase++
      this.#phaseS = 0
    }
  }

  /** The cut is made half-way through the handling, the counter set to nought towards its end. */
  #rest(): void {
    this.#restS -= STEP_S
    this.#speed = 0
    this.#before = 0
    const { handlingS } = this.#setup.cuts[Math.max(0, this.#cut - 1)]!
    if (!this.#cutMade && this.#restS <= handlingS / 2) {
      this.#cutMade = true
      this.#truth.push({
        ...{ kind: 'cut', tS: this.#tS, cut: this.#cut, lengthM: this.#gone - this.#cutAt },
      })
      this.#cutAt = this.#gone
    }
    if (this.#restS <= NOUGHT_BEFORE_S) this.#counted = 0
    if (this.#restS > 0) return
    this.#restS = 0
    if (this.#cut >= this.#setup.cuts.length) this.#truth.push({ kind: 'end', tS: this.#tS })
  }

  #stop(): void {
    this.#move(Math.abs(this.#normal()) * this.#setup.stopSdM)
    this.#speed = 0
    this.#restS = Math.max(STEP_S, this.#setup.cuts[this.#cut]!.handlingS)
    this.#cutMade = false
    this.#cut++
    this.#phase = 0
    this.#phaseS = 0
  }

  #move(metres: number): void {
    this.#gone += metres
    let counted = metres * (1 + this.#setup.errorRatio)
    for (const slip of this.#slips) {
      if (this.#gone < slip.fromM || this.#gone > slip.toM) continue
      if (!slip.told)
        this.#truth.push({ kind: 'slip', tS: this.#tS, missedM: slip.share * (slip.toM - slip.fromM) })
      slip.told = true
      counted *= 1 - slip.share
    }
    this.#counted += counted
    const reset = this.#resets[0]
    if (reset !== undefined && this.#gone >= reset) {
      this.#resets.shift()
      this.#counted = 0
      this.#truth.push({ kind: 'reset', tS: this.#tS })
    }
    // fires once, anywhere in the electrode: bead chains do not touch all round all along
    const { toCutterM, electrodeM } = this.#setup
    const flaw = this.#flaws[0]
    if (flaw === undefined || this.#gone + toCutterM + this.#firesBefore * electrodeM < flaw) return
    this.#flaws.shift()
    this.#firesBefore = this.#random() - 0.5
    this.#sparks++
    this.#truth.push({ kind: 'spark', tS: this.#tS, fromOuterM: flaw - this.#cutAt })
  }

  /** How far before the electrode's middle the next flaw fires, in lengths of the electrode. */
  #firesBefore = 0

  #placedFlaws(lengthM: number): number[] {
    const { faults, toCutterM, electrodeM } = this.#setup
    const meanM = 100 / faults.sparksPer100M
    const flaws: number[] = []
    // the first metres have passed the head already; nearer together than two electrodes they could not be told apart
    let at = toCutterM + electrodeM
    for (;;) {
      at += 2 * electrodeM - meanM * Math.log(1 - this.#random())
      if (!(at < lengthM)) return flaws
      flaws.push(at)
    }
  }

  #normal(): number {
    const radius = Math.sqrt(-2 * Math.log(1 - this.#random()))
    return radius * Math.cos(2 * Math.PI * this.#random())
  }
}

function metresOf(phases: readonly MotionPhase[]): number {
  return phases.reduce(
    (sum, { durationS: t, speedMPerS: v, accelMPerS2: a, jerkMPerS3: j }) =>
      sum + v * t + (a * t * t) / 2 + (j * t * t * t) / 6,
    0,
  )
}
