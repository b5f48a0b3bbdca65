import { describe, expect, test } from 'vitest'
import { fourier, powerOfTwo } from '../../src/lead/fourier.ts'
import { halfHeightWidth, kaiserWindow } from '../../src/lead/kaiser-window.ts'
import { randomFrom } from './random.ts'

describe('Fourier transform', () => {
  test.each([2, 8, 64, 256])('of %d numbers is the sum that defines it', (n) => {
    const random = randomFrom(n)
    const re = Float64Array.from({ length: n }, random)
    const im = Float64Array.from({ length: n }, random)
    const [outRe, outIm] = [re.slice(), im.slice()]
    fourier(outRe, outIm, -1)
    for (let k = 0; k < n; k++) {
      let sumRe = 0
      let sumIm = 0
      for (let i = 0; i < n; i++) {
        const angle = (-2 * Math.PI * i * k) / n
        sumRe += re[i]! * Math.cos(angle) - im[i]! * Math.sin(angle)
        sumIm += re[i]! * Math.sin(angle) + im[i]! * Math.cos(angle)
      }
      expect(outRe[k]).toBeCloseTo(sumRe, 10)
      expect(outIm[k]).toBeCloseTo(sumIm, 10)
    }
    fourier(outRe, outIm, 1)
    expect(outRe[1]! / n).toBeCloseTo(re[1]!, 12)
  })

  test('a length that is no power of two is a mistake of ours', () => {
    expect(() => fourier(new Float64Array(12), new Float64Array(12), 1)).toThrow()
    expect([1, 2, 3, 1_000, 1_024].map(powerOfTwo)).toEqual([2, 2, 4, 1_024, 1_024])
  })
})

describe("Kaiser's window", () => {
  // I0(6) = 67.234406976 (Abramowitz and Stegun, table 9.8; here from its tabulated e^-x·I0(x) = 0.1666574 at 6)
  test('is 1 in the middle and 1/I0(6) at the ends', () => {
    const window = kaiserWindow(101)
    expect(window[50]).toBe(1)
    expect(window[0]! * 0.1666574 * Math.exp(6)).toBeCloseTo(1, 5)
    expect(window[0]).toBe(window[100])
  })

  test('side lobes lie 44 dB down, the half-height width is what is stated', () => {
    const count = 512
    const size = 1 << 16
    const re = new Float64Array(size)
    re.set(kaiserWindow(count))
    const im = new Float64Array(size)
    fourier(re, im, 1)
    const db = (i: number) => 20 * Math.log10(Math.hypot(re[i]!, im[i]!) / Math.hypot(re[0]!, im[0]!))
    let valley = 1
    while (db(valley + 1) < db(valley)) valley++
    const highest = Math.max(...Array.from({ length: 3_000 }, (_, i) => db(valley + i)))
    expect(highest).toBeLessThan(-43)
    expect(highest).toBeGreaterThan(-46)
    let half = 0
    while (db(half) > 20 * Math.log10(0.5)) half++
    expect((2 * half * (count - 1)) / size).toBeCloseTo(halfHeightWidth(), 1)
  })
})
