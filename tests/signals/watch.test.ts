import { describe, expect, it } from 'vitest'
import { atPointer, withPointer } from '../../src/signals/json-pointer.ts'
import { LineWatch } from '../../src/signals/line-watch.ts'
import type { WatchFinding } from '../../src/signals/line-watch-setup.ts'
import { readOnlySocket } from '../../src/signals/read-only-socket.ts'
import { registerBlocks } from '../../src/signals/register-blocks.ts'
import { registersOfValue, valueOfRegisters } from '../../src/signals/register-value.ts'
import { sparkPlace } from '../../src/signals/spark-place.ts'
import { type ModbusSignal, REGISTER_TYPES, type SignalQuantity } from '../../src/works/more-signals.ts'

describe('values of registers', () => {
  it('a float as IEEE 754-2019 has it: 0x40490FDB is the single nearest to pi', () => {
    const high = Uint8Array.of(0x40, 0x49, 0x0f, 0xdb)
    const low = Uint8Array.of(0x0f, 0xdb, 0x40, 0x49)
    const value = Math.fround(Math.PI)
    expect(valueOfRegisters(high, { type: 'f32', wordOrder: 'high_first', scale: 1 })).toBe(value)
    expect(valueOfRegisters(low, { type: 'f32', wordOrder: 'low_first', scale: 1 })).toBe(value)
  })

  it('two’s complement, the largest numbers, and what is no number', () => {
    const of = (type: ModbusSignal['type'], ...bytes: number[]) =>
      valueOfRegisters(Uint8Array.from(bytes), { type, wordOrder: 'high_first', scale: 1 })
    expect(of('i16', 0xff, 0xfe)).toBe(-2)
    expect(of('i32', 0x80, 0, 0, 0)).toBe(-2_147_483_648)
    expect(of('u32', 0xff, 0xff, 0xff, 0xff)).toBe(4_294_967_295)
    expect(of('f32', 0x7f, 0x80, 0, 0)).toBeNull()
    expect(of('u32', 1, 2)).toBeNull()
  })

  it.each(REGISTER_TYPES)('%s comes back as it was put, in both orders', (type) => {
    for (const wordOrder of ['high_first', 'low_first'] as const) {
      const place = { type, wordOrder, scale: 0.5 }
      expect(valueOfRegisters(registersOfValue(1234.5, place), place)).toBe(1234.5)
    }
  })

  it('joins what touches, and asks for no register that no row names', () => {
    const row = (register: number, table: ModbusSignal['table'] = 'holding') =>
      ({ register, table, type: 'u32' }) as ModbusSignal
    const blocks = registerBlocks([row(10), row(14), row(12), row(12, 'input'), row(20)])
    expect(blocks.map(({ table, start, count }) => [table, start, count])).toEqual([
      ['holding', 10, 6],
      ['holding', 20, 2],
      ['input', 12, 2],
    ])
  })
})

it('JSON pointers: the examples of RFC 6901, 5', () => {
  const document = {
    ...{ foo: ['bar', 'baz'], '': 0, 'a/b': 1, 'c%d': 2, 'e^f': 3, 'g|h': 4, 'i\\j': 5, 'k"l': 6 },
    ...{ ' ': 7, 'm~n': 8 },
  }
  const all: [string, unknown][] = [
    ['', document],
    ['/foo', ['bar', 'baz']],
    ['/foo/0', 'bar'],
    ['/', 0],
    ['/a~1b', 1],
    ['/c%d', 2],
    ['/e^f', 3],
    ['/g|h', 4],
    ['/i\\j', 5],
    ['/k"l', 6],
    ['/ ', 7],
    ['/m~0n', 8],
  ]
  for (const [pointer, value] of all) expect(atPointer(document, pointer), pointer).toEqual(value)
  expect(atPointer(document, '/foo/2')).toBeUndefined()
  expect(atPointer(document, '/foo/length')).toBeUndefined()
  expect(atPointer(document, '/constructor')).toBeUndefined()
  expect(withPointer({ a: { b: 1 } }, '/a/c', 2)).toEqual({ a: { b: 1, c: 2 } })
})

it('a socket to a device lets questions for registers through and nothing else', () => {
  const frame = (code: number) => Uint8Array.of(0, 1, 0, 0, 0, 6, 1, code, 0, 100, 0, 2)
  // functions that write: MODBUS Application Protocol Specification V1.1b3, 6
  for (const code of [5, 6, 15, 16, 21, 22, 23, 1, 8, 43])
    expect(() => readOnlySocket().write(frame(code)), String(code)).toThrow('Only functions 3 and 4')
  expect(() => readOnlySocket().write('text')).toThrow()
  expect(() => readOnlySocket().write(Buffer.concat([frame(3), frame(6)]))).toThrow()
})

it('a place: counted / (1 + e) + head to cutter; ±(0.5 m + 0.2 % + half a look)', () => {
  const place = sparkPlace({
    countedM: 100.2,
    errorRatio: 0.002,
    toCutterM: 3.2,
    halfLookM: 0.125,
    doubtM: 0,
  })
  expect(place.fromM).toBeCloseTo(103.2, 9)
  expect(place.uncM).toBeCloseTo(0.5 + 0.2064 + 0.125, 9)
})

describe('the watch', () => {
  const begun = 1_930_000_000_000
  const watch = () =>
    new LineWatch({
      ...{ line: 'RW-1', toCutterM: 3, electrodeM: 0.5, maxMPerS: 5, errorRatio: 0 },
      pollMs: new Map<SignalQuantity, number>(),
      polled: new Set<SignalQuantity>(['counter_m', 'speed_m_min', 'spark_event']),
    })
  const tell = (of: LineWatch, quantity: SignalQuantity, value: number, s: number): WatchFinding[] =>
    of.take({
      ...{ line: 'RW-1', device: 'd', quantity, value, sourceMs: null },
      ...{ arrivalMs: begun + s * 1000, retained: false },
    })
  const codes = (found: WatchFinding[]) => found.map((f) => (f.kind === 'notice' ? f.code : f.kind))

  it('says that it counts while the speed is nought', () => {
    const of = watch()
    const found: WatchFinding[] = []
    for (let s = 0; s < 10; s++) {
      found.push(...tell(of, 'speed_m_min', 0, s))
      found.push(...tell(of, 'counter_m', 50 + 0.3 * s, s + 0.01))
    }
    expect(codes(found)).toContain('runs-at-nought')
  })

  it('says that it stands while the line runs', () => {
    const of = watch()
    const found: WatchFinding[] = []
    for (let s = 0; s < 10; s++) {
      found.push(...tell(of, 'counter_m', 50, s))
      found.push(...tell(of, 'speed_m_min', 90, s + 0.01))
    }
    expect(codes(found)).toEqual(['stands'])
  })

  it('makes one of firings within the electrode, and two of those further apart', () => {
    const of = watch()
    const found: WatchFinding[] = []
    for (let s = 0; s <= 20; s++) {
      found.push(...tell(of, 'spark_event', s < 5 ? 0 : s < 6 ? 1 : s < 15 ? 2 : 3, s - 0.02))
      found.push(...tell(of, 'counter_m', 10 + 0.2 * s, s))
    }
    const sparks = found.flatMap((f) => (f.kind === 'spark' ? [f.spark.n] : []))
    expect(sparks).toEqual([1, 1, 2])
  })

  it('makes nothing of what it hears first, of the same figure again, or of a tester set to nought', () => {
    const of = watch()
    const found = [7, 7, 7, 0, 0].flatMap((value, s) => {
      tell(of, 'counter_m', 10 + s, s)
      return tell(of, 'spark_event', value, s + 0.01)
    })
    tell(of, 'counter_m', 20, 9)
    expect(found).toEqual([])
  })
})
