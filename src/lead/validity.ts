import type { CableType } from '../cable/cable-type.ts'
import { te11CutoffGhz } from '../cable/coax-geometry.ts'
import type { Connector } from './connector.ts'

/** Up to which frequency figures of a chain may be given, and what ends it. */
export interface Validity {
  validToMhz: number
  endedBy: string
}

/**
 * The lowest of: TE11 cut-off as declared and as it follows from the dimensions (above it a coaxial line has more than one mode),
 * the type's own highest frequency, and that of each connector.
 */
export function validityOf(cable: CableType, connectors: Connector[]): Validity {
  const ends: Validity[] = [
    {
      validToMhz: cable.fMaxMhz,
      endedBy: `highest frequency of ${cable.cable} (cables.csv)`,
    },
    {
      validToMhz: 1_000 * cable.cutoffGhz,
      endedBy: `TE11 cut-off of ${cable.cable} (cables.csv)`,
    },
    {
      validToMhz: 1_000 * te11CutoffGhz(cable.innerOdMm, cable.dielectricOdMm, cable.epsR),
      endedBy: `TE11 cut-off of ${cable.cable} from its dimensions`,
    },
    ...connectors.map((c) => ({
      validToMhz: 1_000 * c.fMaxGhz,
      endedBy: `highest frequency of ${c.part} (connectors.csv)`,
    })),
  ]
  return ends.reduce((lowest, end) => (end.validToMhz < lowest.validToMhz ? end : lowest))
}
