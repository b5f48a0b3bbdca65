import { beforeAll, describe, expect, it } from 'vitest'
import { type PreparedMounting, prepareMountings } from '../../src/line/line-settings.ts'
import type { MotionPhase } from '../../src/line/motion-profile.ts'
import type { MountingSettings } from '../../src/line/mounting-settings.ts'
import { pieceRun } from '../../src/line/piece-run.ts'
import type { LineOverrides, RunInputs } from '../../src/line/run-inputs.ts'
import type { Works } from '../../src/works/works.ts'
import { demoLine } from './demo-settings.ts'
import { simulateDriven, simulateUndriven } from './tension-simulation.ts'

let works: Works
let prepared: PreparedMounting[]
beforeAll(async () => {
  const demo = await demoLine()
  works = demo.works
  prepared = prepareMountings(demo.works, demo.plan.mountings)
})

/** The runs of the cuts of a mounting, each from standstill and taut: the longest, and some of the others. */
function runsOf(s: MountingSettings, inputs: RunInputs): MotionPhase[][] {
  const creepMPerS = inputs.creepMPerMin / 60
  const limits = {
    speedMPerS: s.speedMPerMin / 60,
    creepMPerS,
    creepM: creepMPerS * inputs.creepS + inputs.creepStopSds * inputs.stopSdM,
    up: { accelMPerS2: s.rampMPerS2, jerkMPerS3: inputs.jerkMPerS3 },
    down: { accelMPerS2: s.slowDownMPerS2, jerkMPerS3: inputs.jerkMPerS3 },
  }
  const lengths = [...new Set(s.presets.map((cut) => cut.lengthM))].sort((a, b) => b - a)
  return lengths.filter((_, i) => i % 4 === 0).map((lengthM) => pieceRun(lengthM, limits).phases)
}

const cases = (changes: LineOverrides) =>
  prepared
    .filter((_, i) => i % 3 === 0)
    .map((p) => ({ inputs: { ...p.inputs, ...changes }, settings: p.settings(changes) }))

describe('the tension never exceeds what the sheet promises', () => {
  it.each([null, 0.4, 2])('with a pay-off that is not driven, jerk limit %s', (jerkMPerS3) => {
    let tight = 0
    for (const { inputs, settings: s } of cases({ payoffDriven: false, jerkMPerS3 })) {
      const cable = works.cables.find((c) => c.cable === s.cable)!
      const putup = works.putups.find((p) => p.putup === works.drums.find((d) => d.drum === s.drum)!.putup)!
      const [start, end] = s.payoff.states
      const drum = {
        tensionN: s.tensionN,
        bareKgM2: inputs.bareInertiaKgM2,
        barrelM: putup.barrelMm / 1000,
        startRadiusM: start!.radiusM,
        endRadiusM: end!.radiusM,
        startM: start!.lengthM,
        endM: end!.lengthM,
        kgPerM: cable.massKgKm / 1000,
        stiffnessN: inputs.stretchEaKn! * 1000,
        pathM: inputs.drumToSparkM,
      }
      for (const phases of runsOf(s, inputs)) {
        const seen = simulateUndriven(drum, phases, 0.008)
        expect(seen.mostN, s.drum).toBeLessThanOrEqual(s.mostN! + 1e-6)
        expect(seen.leastN, s.drum).toBeGreaterThanOrEqual(s.leastN! - 1e-6)
        tight = Math.max(tight, (seen.mostN - s.tensionN) / (s.mostN! - s.tensionN))
      }
      expect(s.mostN!, s.drum).toBeLessThanOrEqual(s.permittedN! + 1e-6)
    }
    // the sum of all swings, of which a run lines up more than half; a looser promise would be no promise
    expect(tight).toBeGreaterThan(0.5)
  })

  it.each([null, 2])('with a driven pay-off and a dancer, jerk limit %s', (jerkMPerS3) => {
    // without what the recorded run adds: the simulated drive has no error but its lag
    const changes: LineOverrides = { jerkMPerS3, rampPulledKg: null, rampCableS2: null, payoffLagS: 0.2 }
    let tight = 0
    for (const { inputs, settings: s } of cases(changes)) {
      const payoff = {
        tensionN: s.tensionN,
        falls: inputs.dancerFalls,
        lagS: 0.2,
        stiffnessN: inputs.stretchEaKn! * 1000,
        pathM: inputs.drumToSparkM,
      }
      for (const phases of runsOf(s, inputs).slice(0, 2)) {
        const seen = simulateDriven(payoff, phases, 0.001)
        expect(seen.mostN, s.drum).toBeLessThanOrEqual(s.mostN! + 1e-6)
        expect(seen.leastN, s.drum).toBeGreaterThanOrEqual(s.leastN! - 1e-6)
        expect(seen.givenM, s.drum).toBeLessThanOrEqual(s.payoff.dancerNeedM! * 1.01)
        tight = Math.max(tight, seen.givenM / s.payoff.dancerNeedM!)
      }
      expect(s.payoff.dancerNeedM!, s.drum).toBeLessThanOrEqual(s.payoff.dancerRoomM)
    }
    expect(tight).toBeGreaterThan(0.9)
  })
})
