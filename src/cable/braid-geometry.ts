import type { ConductorMetal } from './conductor-metal.ts'

/** What defines a braid: wires, their diameter and the lay. */
export interface Braid {
  carriers: number
  /** Wires per carrier. */
  ends: number
  wireMm: number
  layMm: number
  /** Diameter under the braid, mm. */
  underMm: number
}

/** Mean diameter on which the wires lie, mm: core plus two wires, since carriers cross (geometry as in ANSI/SCTE 51). */
function meanDiameterMm(braid: Braid): number {
  return braid.underMm + 2 * braid.wireMm
}

/** Angle of the wires to the axis: atan(π·Dm/lay), degree. */
export function braidAngleDeg(braid: Braid): number {
  return (Math.atan((Math.PI * meanDiameterMm(braid)) / braid.layMm) * 180) / Math.PI
}

/**
 * Optical coverage K = 2F − F², per cent, with F = ends·carriers·d/(2·lay·sin ψ) the share that one direction of carriers
 * covers (ANSI/SCTE 51; MIL-C-17 form). Valid for F up to 1.
 */
export function braidCoveragePct(braid: Braid): number {
  const angle = (braidAngleDeg(braid) * Math.PI) / 180
  const fill = (braid.ends * braid.carriers * braid.wireMm) / (2 * braid.layMm * Math.sin(angle))
  const capped = Math.min(1, fill)
  return 100 * (2 * capped - capped * capped)
}

function metalAreaMm2(braid: Braid): number {
  return (braid.carriers * braid.ends * Math.PI * braid.wireMm ** 2) / 4
}

/** DC resistance ρ/(A·cos ψ), ohm/km: N wires in parallel, each longer than the cable by 1/cos ψ. */
export function braidResistanceOhmKm(braid: Braid, metal: ConductorMetal): number {
  return (1_000 * metal.resistivityOhmMm2M) / (metalAreaMm2(braid) * cosOf(braid))
}

/** Mass of the wires, kg/km. */
export function braidMassKgKm(braid: Braid, metal: ConductorMetal): number {
  return (metalAreaMm2(braid) * metal.densityKgDm3) / cosOf(braid)
}

function cosOf(braid: Braid): number {
  return Math.cos((braidAngleDeg(braid) * Math.PI) / 180)
}
