import { expect, it } from 'vitest'
import { lineThroughNought, straightLine } from '../../src/measure/straight-line.ts'
import { published } from './published.ts'

interface Points {
  x: number[]
  y: number[]
}

it('fit.nist.norris: certified to 1e-11', () => {
  const { inputs, expected, tolerance } = published<Points, Record<string, number>>('fit.nist.norris')
  const fit = straightLine(inputs.x, inputs.y)!
  const found = { b0: fit.intercept, b1: fit.slope, sd_b0: fit.interceptSd, sd_b1: fit.slopeSd, s: fit.sd }
  for (const [name, value] of Object.entries(found))
    expect(Math.abs(value - expected[name]!)).toBeLessThanOrEqual(tolerance)
})

it('fit.nist.noint1: a line through nought', () => {
  const { inputs, expected, tolerance } = published<Points, Record<string, number>>('fit.nist.noint1')
  const fit = lineThroughNought(inputs.x, inputs.y)!
  const found = { b1: fit.slope, sd_b1: fit.slopeSd, s: fit.sd }
  for (const [name, value] of Object.entries(found))
    expect(Math.abs(value - expected[name]!)).toBeLessThanOrEqual(tolerance)
})

it('too few readings, or all at one place, make no line', () => {
  expect(straightLine([1, 2], [1, 2])).toBeNull()
  expect(straightLine([3, 3, 3], [1, 2, 3])).toBeNull()
  expect(lineThroughNought([1], [1])).toBeNull()
  expect(lineThroughNought([0, 0], [1, 2])).toBeNull()
})
