import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  accelAt,
  type MotionPhase,
  rampDistanceM,
  rampPhases,
  rampTimeS,
  speedAt,
} from '../../src/line/motion-profile.ts'
import { pieceRun, plainRunS, type RunLimits, speedWorthRunning } from '../../src/line/piece-run.ts'
import { lineValue } from './line-value.ts'

const trapezoid = (accelMPerS2: number) => ({ accelMPerS2, jerkMPerS3: null })

/** Distance by Simpson's rule over the speed: exact for a cubic, and knows nothing of how the phases were made. */
function runM(phases: MotionPhase[]): number {
  return phases.reduce((sum, p) => {
    const [a, b, c] = [speedAt(p, 0), speedAt(p, p.durationS / 2), speedAt(p, p.durationS)]
    return sum + (p.durationS / 6) * (a + 4 * b + c)
  }, 0)
}

describe('published motion', () => {
  // industrialmonitordirect.com motion-profile note: a third each of ramp, run, ramp
  it('runs the rule of thirds in the time it promises', () => {
    const { inputs, expected } = lineValue<{ dx: number; dt: number }, { v: number; a: number }>(
      'motion.thirds',
    )
    const ramp = trapezoid(expected.a)
    expect(plainRunS(inputs.dx, expected.v, ramp, ramp)).toBeCloseTo(inputs.dt, 9)
    expect(rampTimeS(0, expected.v, ramp)).toBeCloseTo(inputs.dt / 3, 9)
  })

  // motion controller FAQ data table
  it.each(['motion.scurve.4000', 'motion.scurve.8000'])('takes the distance of %s to its speed', (id) => {
    const { inputs, expected, tolerance } = lineValue<
      { vi: number; vf: number; a: number; j: number },
      number
    >(id)
    const ramp = { accelMPerS2: inputs.a, jerkMPerS3: inputs.j }
    expect(Math.abs(rampDistanceM(inputs.vi, inputs.vf, ramp) - expected)).toBeLessThanOrEqual(tolerance)
    expect(runM(rampPhases(inputs.vi, inputs.vf, ramp))).toBeCloseTo(expected, 9)
  })

  // seven-segment profile formulas, jpe-innovations.com
  it('does not reach the acceleration on a small change of speed', () => {
    const { inputs, expected } = lineValue<{ dv: number; j: number }, { a_peak: number; t: number }>(
      'motion.scurve.tri',
    )
    const ramp = { accelMPerS2: 100, jerkMPerS3: inputs.j }
    expect(rampTimeS(0, inputs.dv, ramp)).toBeCloseTo(expected.t, 9)
    const phases = rampPhases(0, inputs.dv, ramp)
    expect(Math.max(...phases.map((p) => accelAt(p, p.durationS)))).toBeCloseTo(expected.a_peak, 9)
  })

  // kinematics
  it('stops in v²/2a', () => {
    const { inputs, expected } = lineValue<{ v: number; a: number }, number>('motion.stop.trapezoid')
    expect(rampDistanceM(inputs.v, 0, trapezoid(inputs.a))).toBeCloseTo(expected, 9)
  })

  // trade handbook, line set-up: 25 m at 150 m/min 16 s, at 75 m/min 23 s, on a line of 0.35 and 0.45 m/s²
  it.each([
    [150, 16],
    [75, 23],
  ])('runs a 25 m coil at %i m/min in %i s', (mPerMin, seconds) => {
    expect(Math.round(plainRunS(25, mPerMin / 60, trapezoid(0.35), trapezoid(0.45)))).toBe(seconds)
  })
})

const limits: fc.Arbitrary<RunLimits> = fc
  .record({
    speed: fc.double({ min: 0.2, max: 6, noNaN: true }),
    creep: fc.double({ min: 0.02, max: 0.5, noNaN: true }),
    creepM: fc.double({ min: 0, max: 0.5, noNaN: true }),
    up: fc.double({ min: 0.02, max: 3, noNaN: true }),
    down: fc.double({ min: 0.02, max: 3, noNaN: true }),
    jerk: fc.option(fc.double({ min: 0.05, max: 50, noNaN: true })),
  })
  .map(({ speed, creep, creepM, up, down, jerk }) => ({
    speedMPerS: speed,
    creepMPerS: creep,
    creepM,
    up: { accelMPerS2: up, jerkMPerS3: jerk },
    down: { accelMPerS2: down, jerkMPerS3: jerk },
  }))
const lengthM = fc.oneof(
  fc.double({ min: 0.000_001, max: 3, noNaN: true }),
  fc.double({ min: 1, max: 3000, noNaN: true }),
)

describe('the run of any piece', () => {
  it('adds up to its length to the micrometre, without a jump in speed, within its limits', () => {
    fc.assert(
      fc.property(lengthM, limits, (length, within) => {
        const { phases } = pieceRun(length, within)
        expect(Math.abs(runM(phases) - length)).toBeLessThan(1e-6)
        let speed = 0
        for (const phase of phases) {
          expect(Math.abs(speedAt(phase, 0) - speed)).toBeLessThan(1e-6)
          for (const share of [0, 0.5, 1]) {
            const at = share * phase.durationS
            expect(speedAt(phase, at)).toBeLessThan(within.speedMPerS + 1e-6)
            expect(accelAt(phase, at)).toBeLessThan(within.up.accelMPerS2 + 1e-6)
            expect(accelAt(phase, at)).toBeGreaterThan(-within.down.accelMPerS2 - 1e-6)
          }
          speed = speedAt(phase, phase.durationS)
        }
        expect(Math.abs(speed)).toBeLessThan(1e-6)
      }),
      { numRuns: 500 },
    )
  })

  it('slows down and stops where it says', () => {
    fc.assert(
      fc.property(fc.double({ min: 20, max: 500, noNaN: true }), limits, (length, within) => {
        const run = pieceRun(length, within)
        if (run.peakMPerS <= within.creepMPerS * 1.001) return
        const slow = run.phases.findIndex((p) => accelAt(p, p.durationS / 2) < 0)
        expect(runM(run.phases.slice(0, slow))).toBeCloseTo(run.slowAtM, 6)
        const stop = run.phases.findLastIndex((p) => p.jerkMPerS3 === 0 && p.accelMPerS2 === 0)
        if (within.creepM > 0) expect(runM(run.phases.slice(0, stop + 1))).toBeCloseTo(run.stopAtM, 6)
      }),
    )
  })

  it('is never quicker with a jerk limit, and as quick where the limit is far off', () => {
    fc.assert(
      fc.property(lengthM, limits, (length, within) => {
        const free = {
          ...within,
          up: { ...within.up, jerkMPerS3: null },
          down: { ...within.down, jerkMPerS3: null },
        }
        const far = {
          ...within,
          up: { ...within.up, jerkMPerS3: 1e7 },
          down: { ...within.down, jerkMPerS3: 1e7 },
        }
        const freeS = pieceRun(length, free).timeS
        expect(pieceRun(length, within).timeS).toBeGreaterThan(freeS * (1 - 1e-6) - 1e-6)
        expect(pieceRun(length, far).timeS).toBeCloseTo(freeS, 2)
      }),
    )
  })
})

describe('the speed worth running', () => {
  it('costs at most the share of time it may cost, and a slower one costs more', () => {
    fc.assert(
      fc.property(fc.double({ min: 2, max: 500, noNaN: true }), limits, (length, within) => {
        const best = pieceRun(length, within)
        const worth = speedWorthRunning(best, within, 90, 0.01)
        const allowedS = best.timeS + 0.01 * (best.timeS + 90)
        expect(pieceRun(length, { ...within, speedMPerS: worth }).timeS).toBeLessThan(allowedS + 1e-3)
        if (worth > within.creepMPerS * 1.01)
          expect(pieceRun(length, { ...within, speedMPerS: worth * 0.99 }).timeS).toBeGreaterThan(
            allowedS - 1e-3,
          )
      }),
    )
  })
})
