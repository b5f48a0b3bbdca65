import { expect, test } from 'vitest'
import { day, eur, lengthM, many, placeM, supplyM } from './format.ts'

test('a supply is never shown longer than it is', () => {
  expect(supplyM(598_990_000)).toBe('598.9 m')
  expect(supplyM(598_900_000)).toBe('598.9 m')
  expect(supplyM(1_234_000_000)).toBe('1234 m')
})

test('a place is shown to the nearest tenth', () => {
  expect(placeM(340_060_000)).toBe('340.1')
})

test('leads are shown in millimetres', () => {
  expect(lengthM(134_800)).toBe('134.8 mm')
  expect(lengthM(304_800_000)).toBe('304.8 m')
})

test('a credit has a minus sign, nothing has none', () => {
  expect(eur(-86.06)).toBe('−€86.06')
  expect(eur(-0)).toBe('€0.00')
})

test('a date does not move with the time zone, and what is no date stays as it is', () => {
  expect(day('2031-03-12')).toBe('12 Mar 2031')
  expect(day('someday')).toBe('someday')
})

test('one and many', () => {
  expect([many(1, 'order line'), many(2120, 'order line'), many(12120, 'order line')]).toEqual([
    '1 order line',
    '2120 order lines',
    '12,120 order lines',
  ])
})
