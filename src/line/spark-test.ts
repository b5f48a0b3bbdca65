/**
 * Cycles of the test voltage that every point of the jacket sees in the electrode: N = f·l/v. The same at any place;
 * at a lower speed it is more.
 */
export function dwellCycles(sparkHz: number, electrodeMm: number, speedMPerS: number): number {
  return (sparkHz * electrodeMm) / 1000 / speedMPerS
}

/** Greatest speed that leaves so many cycles in the electrode, v = f·l/N, m/s. */
export function dwellSpeedMPerS(sparkHz: number, electrodeMm: number, cycles: number): number {
  return (sparkHz * electrodeMm) / 1000 / cycles
}

/** Published least test voltages for jackets, kV rms AC. */
interface PublishedKv {
  wallMm: number
  kv: number
}

/**
 * MIL-DTL-22931D table VII, outer conductor to jacket, 60 Hz: walls of 0.035, 0.060 and 0.065 in, which data sheets give as
 * 0.89, 1.52 and 1.65 mm. From a wall upwards: a thicker one must stand what a thinner one stands.
 */
const FROM_WALL: PublishedKv[] = [
  { wallMm: 0.89, kv: 7 },
  { wallMm: 1.52, kv: 9 },
  { wallMm: 1.65, kv: 10 },
]

/** IEC 62230 ed. 1.1, table as read in a summary that ends here: up to a wall. */
const UP_TO_WALL: PublishedKv[] = [
  { wallMm: 0.25, kv: 3 },
  { wallMm: 0.5, kv: 5 },
]

/** The published least voltage for a jacket wall; null where none was seen: between 0.5 and 0.89 mm. */
export function publishedMinKv(jacketWallMm: number): { kv: number; source: string } | null {
  // to the hundredth that data sheets give
  const wallMm = Math.round(jacketWallMm * 100) / 100
  const thin = UP_TO_WALL.find((p) => wallMm <= p.wallMm)
  if (thin) return { kv: thin.kv, source: 'IEC 62230 ed. 1.1, table read in a summary' }
  const thick = FROM_WALL.findLast((p) => wallMm >= p.wallMm)
  return thick ? { kv: thick.kv, source: 'MIL-DTL-22931D table VII' } : null
}

/** Faults 24 in apart must be counted as two at any speed (EuroWire Sept 2007 p. 54, trade press), m. */
export const FAULT_SPACING_M = 0.6096

/**
 * Distance from which two pinholes are told apart: nearer than the electrode is long, both lie in it at once; and no
 * tester is asked to part them below the published spacing.
 */
export function resolvingDistanceM(electrodeMm: number): number {
  return Math.max(FAULT_SPACING_M, electrodeMm / 1000)
}

/**
 * Energy that a cable whose conductors are not bonded to earth may hold, ½·C·V², J: an upper bound, with the whole
 * length charged to the crest. `crestKv` = √2 · the rms setting.
 */
export function storedEnergyJ(capPfM: number, lengthM: number, crestKv: number): number {
  return 0.5 * capPfM * 1e-12 * lengthM * (crestKv * 1000) ** 2
}
