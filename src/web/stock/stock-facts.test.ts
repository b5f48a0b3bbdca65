import { expect, test } from 'vitest'
import { stripLayout } from '../../drawing/strip-layout.ts'
import type { Drum } from '../../strip/drum.ts'
import { TEXT_SIZE_PX } from '../parts/drawing-size.ts'
import { stripWidth, weighedUm } from './stock-facts.ts'

test('length by weight: 83.6 kg at 83.6 kg/km is a kilometre', () => {
  const drum = { grossKg: 218.6, tareKg: 135 } as Drum
  expect(weighedUm(drum, 83.6)).toBe(1_000_000_000)
})

/** Width of the band in the drawing that is made of it. */
function bandPx(lengthUm: number, longestUm: number, zoom: number): number {
  const { left, right } = stripLayout(
    stripWidth(lengthUm, longestUm, 1200, zoom).widthPx,
    TEXT_SIZE_PX,
    lengthUm,
  )
  return right - left
}

test('strips that are shown together stand to one scale', () => {
  expect(bandPx(1000, 1000, 1) / bandPx(250, 1000, 1)).toBeCloseTo(4, 1)
  expect(bandPx(1000, 1000, 2) / bandPx(1000, 1000, 1)).toBeCloseTo(2, 1)
  expect(stripWidth(1000, 1000, 1200, 1).widthPx).toBeLessThanOrEqual(1200)
})

test('a strip that is too short for the scale is known to be', () => {
  expect(stripWidth(5, 1000, 1200, 1).toScale).toBe(false)
  expect(stripWidth(5, 1000, 1200, 8).toScale).toBe(true)
})
