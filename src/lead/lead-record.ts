import type { LeadTest } from './lead-test.ts'
import { hasParameter, magnitudes, type Sweep } from './sweep.ts'

/** What stands on record of a finished lead beside what this measurement reads; null where it does not reach the frequency. */
export function recordNote(test: LeadTest, sweep: Sweep): string | null {
  const wantedHz = test.fTestMhz * 1e6
  if (!hasParameter(sweep, 'S21') || wantedHz < sweep.fHz[0]! || wantedHz > sweep.fHz.at(-1)!) return null
  let nearest = 0
  for (let i = 1; i < sweep.fHz.length; i++)
    if (Math.abs(sweep.fHz[i]! - wantedHz) < Math.abs(sweep.fHz[nearest]! - wantedHz)) nearest = i
  const readsDb = -20 * Math.log10(magnitudes(sweep, 'S21')[nearest]!)
  return `On record ${test.ilDb} dB at ${test.fTestMhz} MHz and ${test.tempC} °C; this file reads ${readsDb.toFixed(3)} dB at ${(sweep.fHz[nearest]! / 1e6).toFixed(1)} MHz.`
}
