import { readFile } from 'node:fs/promises'
import { createServer } from 'node:net'
import { afterEach, expect, it } from 'vitest'
import { openReaders } from '../../src/signals/open-readers.ts'
import type { SignalNews, SignalReader } from '../../src/signals/signal-news.ts'
import {
  type DeviceValues,
  SimulatedBroker,
  SimulatedModbus,
} from '../../src/signals/simulator/simulated-devices.ts'
import { MAX_WAITING_SAMPLES, WaitingNews } from '../../src/signals/waiting-news.ts'
import type { ModbusSignal, MqttSignal } from '../../src/works/more-signals.ts'
import { untilFound } from '../support/until.ts'

/** Real TCP on loopback, both protocols, between the readers and devices that only this test knows. */

const VALUES: DeviceValues = {
  ...{ counter_m: 123.456, speed_m_min: 87.6, spark_event: 3, tension_n: 41.2, dancer_pct: 50.5 },
  ...{ diameter_mm: 5.92, clock: 1_930_000_000.25 },
}

const modbusRow = (port: number, row: Partial<ModbusSignal> = {}): ModbusSignal => ({
  ...{ line: 'RW-1', quantity: 'counter_m', on: true, protocol: 'modbus-tcp', host: '127.0.0.1', port },
  ...{ unitId: 1, table: 'holding', register: 100, type: 'u32', wordOrder: 'high_first' },
  ...{ scale: 0.001, pollMs: 50 },
  ...row,
})

const mqttRow = (port: number, row: Partial<MqttSignal> = {}): MqttSignal => ({
  ...{ line: 'RW-1', quantity: 'counter_m', on: true, protocol: 'mqtt', host: '127.0.0.1', port },
  ...{ topic: 'hall/drive', pointer: '/count_m', timePointer: '/t', scale: 1, pollMs: 50 },
  ...row,
})

const opened: { stop?: () => Promise<void>; close?: () => Promise<void> }[] = []
afterEach(async () => {
  for (const one of opened.splice(0).reverse()) await (one.stop ?? one.close)?.call(one)
})

function listen(rows: (ModbusSignal | MqttSignal)[]): SignalNews[] {
  const news: SignalNews[] = []
  const readers: SignalReader[] = openReaders(rows, (one) => news.push(one), Date.now)
  opened.push(...readers)
  return news
}

const sampleOf = (news: SignalNews[], quantity: string) => () =>
  news.flatMap((one) => (one.kind === 'sample' && one.sample.quantity === quantity ? [one.sample] : []))[0]

async function modbus(port = 0): Promise<SimulatedModbus> {
  const device = await SimulatedModbus.open(port)
  opened.push(device)
  return device
}

async function broker(port = 0): Promise<SimulatedBroker> {
  const one = await SimulatedBroker.open(port)
  opened.push(one)
  return one
}

it('reads every type of register in both orders from both tables, and asks by functions 3 and 4 alone', async () => {
  const device = await modbus()
  const rows = [
    modbusRow(device.port),
    modbusRow(device.port, { quantity: 'speed_m_min', register: 102, type: 'u16', scale: 0.1 }),
    modbusRow(device.port, {
      ...{ quantity: 'diameter_mm', register: 10, type: 'f32', wordOrder: 'low_first', scale: 1 },
      table: 'input',
    }),
    modbusRow(device.port, { quantity: 'tension_n', register: 12, type: 'i16', scale: 0.1, table: 'input' }),
    modbusRow(device.port, { quantity: 'clock', register: 200, type: 'u64', wordOrder: 'low_first' }),
  ]
  device.show(rows, VALUES)
  const news = listen(rows)
  for (const { quantity } of rows) {
    const sample = await untilFound(sampleOf(news, quantity))
    expect(sample.value, quantity).toBeCloseTo(VALUES[quantity], 2)
  }
  expect([...device.asked].sort()).toEqual([3, 4])
})

it('hears what is retained and what comes, with its time, and publishes nothing', async () => {
  const one = await broker()
  const rows = [
    mqttRow(one.port),
    mqttRow(one.port, { quantity: 'speed_m_min', pointer: '/v/now', timePointer: null }),
  ]
  await one.show(rows, VALUES, 1_930_000_000_250)
  const news = listen(rows)
  const first = await untilFound(sampleOf(news, 'counter_m'))
  expect(first).toMatchObject({ value: 123.456, sourceMs: 1_930_000_000_250, retained: true })
  expect(await untilFound(sampleOf(news, 'speed_m_min'))).toMatchObject({ value: 87.6, sourceMs: null })
  await one.show(rows, { ...VALUES, counter_m: 124 }, 1_930_000_000_350)
  const live = await untilFound(() =>
    news.flatMap((n) => (n.kind === 'sample' && n.sample.value === 124 ? [n.sample] : [])).at(0),
  )
  expect(live.retained).toBe(false)
  expect(one.published).toEqual([])
})

it('says what is no value, and reads the next one', async () => {
  const device = await modbus()
  const one = await broker()
  const diameter = modbusRow(device.port, { quantity: 'diameter_mm', type: 'f32', scale: 1, register: 5 })
  device.put(diameter, Uint8Array.of(0x7f, 0xc0, 0, 0))
  const rows = [diameter, mqttRow(one.port)]
  await one.send('hall/drive', '{"count_m":1,"t":1930000000}')
  const news = listen(rows)
  await untilFound(() => news.find((n) => n.kind === 'unreadable' && n.quantity === 'diameter_mm'))
  // what was retained shows that the topic is listened to
  await untilFound(sampleOf(news, 'counter_m'))
  for (const payload of [
    '{',
    '{"count_m":"12"}',
    '{"count_m":1e999,"t":1930000000}',
    '[]',
    '"x"',
    '{"count_m":1,"t":"soon"}',
  ])
    await one.send('hall/drive', payload)
  await one.send('hall/drive', '{"count_m":7.5,"t":"2031-03-03T08:00:00.500Z"}')
  const next = await untilFound(() =>
    news.flatMap((n) => (n.kind === 'sample' && n.sample.value === 7.5 ? [n.sample] : [])).at(0),
  )
  expect(next).toMatchObject({
    value: 7.5,
    sourceMs: Date.parse('2031-03-03T08:00:00.500Z'),
  })
  const wrong = news.filter((n) => n.kind === 'unreadable' && n.quantity === 'counter_m')
  expect(wrong.length).toBeGreaterThanOrEqual(6)
  device.show([diameter], VALUES)
  expect((await untilFound(sampleOf(news, 'diameter_mm'))).value).toBeCloseTo(5.92, 5)
})

it('connects again when a device comes back', async () => {
  const device = await modbus()
  const one = await broker()
  const rows = [modbusRow(device.port), mqttRow(one.port)]
  const news = listen(rows)
  const count = (kind: SignalNews['kind'], port: number) =>
    news.filter((n) => n.kind === kind && 'device' in n && n.device.includes(`:${port}`)).length
  for (const { port } of [device, one])
    await untilFound(() => (count('connected', port) > 0 ? true : undefined))
  device.deaf(true)
  one.deaf(true)
  for (const { port } of [device, one])
    await untilFound(() => (count('disconnected', port) > 0 ? true : undefined))
  device.deaf(false)
  one.deaf(false)
  for (const { port } of [device, one])
    await untilFound(() => (count('connected', port) > 1 ? true : undefined))
})

it('gives up on an answer that never ends, or makes no sense', async () => {
  const server = createServer((socket) => {
    socket.on('error', () => socket.destroy())
    socket.on('data', () => {
      // a head that promises more than was asked for, and then bytes without end
      socket.write(Buffer.alloc(8_192, 0x55))
    })
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const { port } = server.address() as { port: number }
  const news = listen([modbusRow(port)])
  await untilFound(() => news.find((n) => n.kind === 'disconnected'))
  for (const one of opened.splice(0)) await one.stop?.()
  await new Promise<void>((resolve) => server.close(() => resolve()))
})

it('bounds a flood: the oldest go, that is said, and another signal loses nothing', async () => {
  const one = await broker()
  const rows = [
    mqttRow(one.port),
    mqttRow(one.port, { quantity: 'spark_event', topic: 'hall/spark', pointer: '/n' }),
  ]
  const waiting = new WaitingNews()
  let came = 0
  const readers = openReaders(
    rows,
    (news) => {
      waiting.put(news)
      if (news.kind === 'sample') came++
    },
    Date.now,
  )
  opened.push(...readers)
  await untilFound(() => waiting.take().find((n) => n.kind === 'connected'))
  // a subscription follows the connection
  await one.send('hall/spark', '{"n":1,"t":1930000000}')
  await untilFound(() => (came > 0 ? true : undefined))
  const flood = 5_000
  for (let i = 1; i <= flood; i++) await one.send('hall/drive', `{"count_m":${i},"t":1930000000}`)
  await untilFound(() => (came >= flood + 1 ? true : undefined))
  const taken = waiting.take()
  const counters = taken.flatMap((n) =>
    n.kind === 'sample' && n.sample.quantity === 'counter_m' ? [n.sample] : [],
  )
  expect(counters.map((s) => s.value)).toEqual(
    Array.from({ length: MAX_WAITING_SAMPLES }, (_, i) => flood - MAX_WAITING_SAMPLES + 1 + i),
  )
  const sparks = taken.filter((n) => n.kind === 'sample' && n.sample.quantity === 'spark_event')
  expect(sparks).toHaveLength(1)
  expect(taken.find((n) => n.kind === 'dropped')).toMatchObject({ count: flood - MAX_WAITING_SAMPLES })
})

it('has no word in the source for writing to a device', async () => {
  for (const file of [
    'modbus-reader',
    'register-client',
    'mqtt-reader',
    'open-readers',
    'read-only-socket',
  ]) {
    const source = await readFile(`src/signals/${file}.ts`, 'utf8')
    expect(source.match(/\b(?:write(?:Single|Multiple)\w*|\.publish\(|publishAsync\()/g), file).toBeNull()
  }
})
