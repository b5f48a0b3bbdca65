import { expect, test } from 'vitest'
import type { Drum } from '../../strip/drum.ts'
import { stripWidthPx, weighedUm } from './stock-facts.ts'

test('length by weight: 83.6 kg at 83.6 kg/km is a kilometre', () => {
  const drum = { grossKg: 218.6, tareKg: 135 } as Drum
  expect(weighedUm(drum, 83.6)).toBe(1_000_000_000)
})

test('two strips shown stand to one scale', () => {
  const gutters = stripWidthPx(0, 1000, 1128.8, 1) - 4
  const long = stripWidthPx(1000, 1000, 1128.8, 1) - gutters
  const half = stripWidthPx(500, 1000, 1128.8, 1) - gutters
  expect(long / half).toBeCloseTo(2, 2)
  expect(stripWidthPx(1000, 1000, 1128.8, 2) - gutters).toBeCloseTo(2 * long, -1)
})
