import { describe, expect, it } from 'vitest'
import { readAtMs, withRead } from '../../src/web/line/dangers-read.ts'

const HOUR = 3_600_000
/** By the clock of the station, as its days are. */
const at = (day: number, hour: number) => new Date(2031, 2, day, hour).getTime()

describe('dangers that were read', () => {
  it('are read by the person who read them, and by nobody else', () => {
    const six = at(3, 6)
    const kept = withRead(null, 'K-07', six)
    expect(readAtMs(kept, 'K-07', six + HOUR)).toBe(six)
    expect(readAtMs(kept, 'K-08', six + HOUR)).toBeNull()
    expect(readAtMs(kept, '', six + HOUR)).toBeNull()
    const both = withRead(kept, 'K-08', six + 2 * HOUR)
    expect(readAtMs(both, 'K-07', six + 3 * HOUR)).toBe(six)
    expect(readAtMs(both, 'K-08', six + 3 * HOUR)).toBe(six + 2 * HOUR)
  })

  it('hold for the day, and over midnight for the shift', () => {
    const early = withRead(null, 'K-07', at(3, 5))
    expect(readAtMs(early, 'K-07', at(3, 22))).toBe(at(3, 5))
    expect(readAtMs(early, 'K-07', at(4, 5))).toBeNull()
    const late = withRead(early, 'K-07', at(3, 22))
    expect(readAtMs(late, 'K-07', at(4, 5))).toBe(at(3, 22))
    expect(readAtMs(late, 'K-07', at(4, 6))).toBeNull()
    // and what is over is not kept for ever
    expect(withRead(late, 'K-08', at(5, 6))).toBe(JSON.stringify({ 'K-08': at(5, 6) }))
  })

  it('are to be read where what was kept is damaged, or from another clock', () => {
    for (const kept of ['', '7', '{', 'null', '{"K-07":"x"}', `{"K-07":${at(3, 9)}}`])
      expect(readAtMs(kept, 'K-07', at(3, 8))).toBeNull()
  })
})
