import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkDigit, numbered, readSerial, runningNumber, serialOf } from '../../src/ledger/serial.ts'

describe('the serial of a piece', () => {
  // ISO/IEC 7812-1 annex B: 4992739871 with its check digit 6 is the number that descriptions of the formula work through;
  // 79927398713 is the other
  it.each([
    ['4992739871', '6'],
    ['7992739871', '3'],
    ['401288888888188', '1'],
    ['37828224631000', '5'],
  ])('%s has the check digit %s', (digits, check) => {
    expect(checkDigit(digits)).toBe(check)
  })

  it('is written with year, running number and check digit', () => {
    expect(serialOf('31', 123)).toMatch(/^31-000123-\d$/)
    expect(readSerial(serialOf('31', 123))).toEqual({ year: '31', running: 123 })
    expect(readSerial(serialOf('31', 1_234_567))).toEqual({ year: '31', running: 1_234_567 })
  })

  it('no single wrong digit passes', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 999_999 }),
        fc.integer({ min: 0, max: 10 }),
        fc.integer({ min: 1, max: 9 }),
        (n, at, by) => {
          const serial = serialOf('31', n)
          const digit = serial[at]
          if (digit === undefined || digit === '-') return
          const wrong = serial.slice(0, at) + ((Number(digit) + by) % 10) + serial.slice(at + 1)
          expect(readSerial(wrong)).toBeNull()
        },
      ),
      { seed: 1, numRuns: 2000 },
    )
  })

  it('no two neighbours pass swapped, but 09 and 90', () => {
    for (let n = 1; n < 3000; n++) {
      const serial = serialOf('31', n * 331)
      for (let at = 3; at < 8; at++) {
        const [a, b] = [serial[at]!, serial[at + 1]!]
        if (a === b || (a + b).split('').sort().join('') === '09') continue
        expect(readSerial(serial.slice(0, at) + b + a + serial.slice(at + 2))).toBeNull()
      }
    }
  })

  it('other numbers have a letter before them', () => {
    expect(numbered('F', 12)).toBe('F-000012')
    expect(runningNumber('F', 'F-000012')).toBe(12)
    expect(runningNumber('F', 'F012')).toBeNull()
    expect(runningNumber('R', 'RW-1')).toBeNull()
  })
})
