import { accelAt, type MotionPhase, speedAt } from '../../src/line/motion-profile.ts'

/**
 * The tension along a whole run, integrated in time by Runge and Kutta's fourth order. It knows the machine only: drum, cable
 * as a spring, dancer carriage, drive with a lag. Of the closed form of the line sheet it knows nothing.
 */

export interface Tensions {
  leastN: number
  mostN: number
  /** Most cable that the dancer gave out, m. */
  givenM: number
}

/** Speed and acceleration of the line at a time, of phases run one after the other. */
export function lineMotion(phases: MotionPhase[]): {
  endS: number
  at: (t: number) => [v: number, a: number]
} {
  const starts: number[] = []
  let endS = 0
  for (const phase of phases) {
    starts.push(endS)
    endS += phase.durationS
  }
  let last = 0
  return {
    endS,
    at(t) {
      while (last > 0 && t < starts[last]!) last--
      while (last < phases.length - 1 && t >= starts[last + 1]!) last++
      const phase = phases[last]
      if (!phase || t > endS) return [0, 0]
      const after = Math.max(0, t - starts[last]!)
      return [speedAt(phase, after), accelAt(phase, after)]
    },
  }
}

/** One step of y' = f(t, y). */
function rk4(f: (t: number, y: number[]) => number[], t: number, y: number[], h: number): number[] {
  const plus = (k: number[], s: number) => y.map((value, i) => value + s * k[i]!)
  const k1 = f(t, y)
  const k2 = f(t + h / 2, plus(k1, h / 2))
  const k3 = f(t + h / 2, plus(k2, h / 2))
  const k4 = f(t + h, plus(k3, h))
  return y.map((value, i) => value + (h / 6) * (k1[i]! + 2 * k2[i]! + 2 * k3[i]! + k4[i]!))
}

/** Share of critical damping in the cable: next to none, so that every swing lasts. A jacketed cable damps more. */
const DAMPING = 0.002

export interface UndrivenDrum {
  tensionN: number
  bareKgM2: number
  barrelM: number
  startRadiusM: number
  endRadiusM: number
  startM: number
  endM: number
  kgPerM: number
  stiffnessN: number
  pathM: number
}

/** A drum that the cable pulls against a brake which holds the tension at standstill. */
export function simulateUndriven(drum: UndrivenDrum, phases: MotionPhase[], stepS: number): Tensions {
  const motion = lineMotion(phases)
  const springNPerM = drum.stiffnessN / drum.pathM
  const radius = (paidM: number) => {
    const left = Math.min(1, Math.max(0, (drum.startM - paidM - drum.endM) / (drum.startM - drum.endM)))
    const [a, b] = [drum.endRadiusM ** 2, drum.startRadiusM ** 2]
    return Math.sqrt(a + (b - a) * left)
  }
  const inertia = (paidM: number) => {
    const r = radius(paidM)
    const massKg = Math.max(0, drum.startM - paidM) * drum.kgPerM
    return drum.bareKgM2 + (massKg / 2) * (r * r + (drum.barrelM / 2) ** 2)
  }
  const heavyKg = inertia(0) / radius(0) ** 2
  const damperNSPerM = 2 * DAMPING * Math.sqrt(springNPerM * heavyKg)
  // line, rim, turning of the drum
  const tension = (t: number, [line, rim, omega]: number[]) =>
    Math.max(
      0,
      drum.tensionN + springNPerM * (line! - rim!) + damperNSPerM * (motion.at(t)[0] - omega! * radius(rim!)),
    )
  const slope = (t: number, y: number[]): number[] => {
    const [, rim, omega] = y as [number, number, number]
    const r = radius(rim)
    const pull = tension(t, y) * r
    const brake = drum.tensionN * r
    // a brake only holds back: a drum at rest stays until the cable pulls harder
    const torque = omega > 0 ? pull - brake : Math.max(0, pull - brake)
    return [motion.at(t)[0], omega * r, torque / inertia(rim)]
  }
  let y = [0, 0, 0]
  const seen: Tensions = { leastN: drum.tensionN, mostN: drum.tensionN, givenM: 0 }
  for (let t = 0; t < motion.endS; t += stepS) {
    y = rk4(slope, t, y, stepS)
    if (y[2]! < 0) y[2] = 0
    const now = tension(t + stepS, y)
    seen.mostN = Math.max(seen.mostN, now)
    seen.leastN = Math.min(seen.leastN, now)
  }
  return seen
}

export interface DrivenPayoff {
  tensionN: number
  falls: number
  lagS: number
  stiffnessN: number
  pathM: number
}

const G = 9.80665

/** A driven drum whose speed lags the line's, with a dancer that is all dead weight and cable that stretches. */
export function simulateDriven(payoff: DrivenPayoff, phases: MotionPhase[], stepS: number): Tensions {
  const motion = lineMotion(phases)
  const { falls, tensionN } = payoff
  const carriageKg = (tensionN * falls) / G
  const springNPerM = payoff.stiffnessN / payoff.pathM
  const damperNSPerM = (2 * DAMPING * Math.sqrt(springNPerM * falls * falls * carriageKg)) / (falls * falls)
  // line, drum, speed of the drum's rim, carriage, its speed
  const tension = (t: number, [line, paid, rim, up, upSpeed]: number[]) =>
    tensionN +
    springNPerM * (line! - paid! - falls * up!) +
    damperNSPerM * (motion.at(t)[0] - rim! - falls * upSpeed!)
  const slope = (t: number, y: number[]): number[] => {
    const rim = y[2]!
    const v = motion.at(t)[0]
    const force = falls * tension(t, y) - carriageKg * G
    return [v, rim, (v - rim) / payoff.lagS, y[4]!, force / carriageKg]
  }
  let y = [0, 0, 0, 0, 0]
  const seen: Tensions = { leastN: tensionN, mostN: tensionN, givenM: 0 }
  for (let t = 0; t < motion.endS; t += stepS) {
    y = rk4(slope, t, y, stepS)
    const now = tension(t + stepS, y)
    seen.mostN = Math.max(seen.mostN, now)
    seen.leastN = Math.min(seen.leastN, now)
    seen.givenM = Math.max(seen.givenM, falls * y[3]!)
  }
  return seen
}
