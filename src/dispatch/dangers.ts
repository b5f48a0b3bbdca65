import type { CableType } from '../cable/cable-type.ts'
import { figureText } from '../quantity/length-text.ts'

/** What stands below the dangers on every sheet. */
export const DEFER =
  "The works' own rules, local codes and licensed practice come first. A figure on this sheet is not permission to run."

/** The dangers of a rewinding line, in the usual words (EN 50191:2010 and EuroWire on spark testing for the high voltage, NIOSH 94-110 for lifting). */
export function lineDangers(cable: CableType, grossKg: number): string[] {
  return [
    'In-running nips at pay-off, capstan, traverse and take-up: guards shut; thread only with hold-to-run; lock out before cleaning.',
    `High voltage at the spark tester (works setting ${figureText(cable.sparkKvRms, 1)} kV rms): inner and outer conductor earthed at the drum before it is switched on; discharge before touching.`,
    'Cut ends whip under tension: take the tension off before the knife; glasses and gloves; knife closed when not in the hand.',
    `Drum of ${figureText(grossKg, 0)} kg: lift only with the gear meant for it, chock it, nobody in the rolling path.`,
  ]
}

/** The heaviest load for one person under the best conditions, kg (NIOSH 94-110, load constant). */
const ONE_PERSON_KG = 23

/** The dangers of cutting leads at a bench. */
export function benchDangers(grossKg: number): string[] {
  return [
    'Blades: cut away from the hand, guard of the cutter shut, knife closed when not in the hand.',
    'Cut ends spring open when the ties come off: glasses, hold the coil, take the ties off one by one.',
    ...(grossKg > ONE_PERSON_KG
      ? [`Coil of ${figureText(grossKg, 1)} kg: above ${ONE_PERSON_KG} kg two people or lifting gear.`]
      : []),
  ]
}
