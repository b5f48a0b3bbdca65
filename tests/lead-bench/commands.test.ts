import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { runCommandLine } from '../../src/cli/command-line.ts'
import { DEMO, demoWith } from '../support/demo.ts'

const printed = { out: '', error: '' }

beforeEach(() => {
  printed.out = ''
  printed.error = ''
  const keep = (stream: 'out' | 'error') => (text: string | Uint8Array) => {
    printed[stream] += String(text)
    return true
  }
  vi.spyOn(process.stdout, 'write').mockImplementation(keep('out'))
  vi.spyOn(process.stderr, 'write').mockImplementation(keep('error'))
})

afterEach(() => {
  vi.restoreAllMocks()
})

async function asked<T>(...args: string[]): Promise<T> {
  printed.out = ''
  expect(await runCommandLine([...args, '--json'])).toBe(0)
  return JSON.parse(printed.out) as T
}

interface Sets {
  sets: string[][]
  provenMost: number
  provenBest: boolean
  rescued: { serial: string; trimMm: number; how: string }[]
  rescuedSets: string[][]
  unused: {
    serial: string
    why: string
    newConnector: { trimMm: number | null; costEur: number; chancePct: number } | null
  }[]
}

interface Lead {
  cutLengthMm: number
  stripMm: Record<'a' | 'b', { jacket: number; braid: number; dielectric: number }>
  kit: { part: string; needed: number; short: number | null }[]
  tools: { kind: string; trouble: string | null }[]
  limits: { list: { name: string }[] }
  start: number
}

const WITHOUT_RECORDS = {
  'more/finished_leads.csv': null,
  'more/open_leads.csv': null,
  'more/kit_stock.csv': null,
  'more/kit_parts.csv': null,
  'more/tools.csv': null,
  'more/bench_times.csv': null,
}

describe('sets', () => {
  const cable = ['--cable', 'C059-50']
  const allOf = ({ sets, rescued, rescuedSets, unused }: Sets) => [
    ...sets.flat(),
    ...new Set([...rescuedSets.flat(), ...rescued.map(({ serial }) => serial)]),
    ...unused.map(({ serial }) => serial),
  ]

  test('finds six sets of four, the most that 26 sound leads can make, and accounts for every lead', async () => {
    const answer = await asked<Sets>('sets', DEMO, ...cable, '--window-deg', '5', '--freq', '2400MHz')
    expect([answer.sets.length, answer.provenMost, answer.provenBest]).toEqual([6, 6, true])
    const why = new Map(answer.unused.map(({ serial, why: text }) => [serial, text]))
    expect(why.get('KJ31-4008')).toContain('return loss 19.6 dB')
    expect(why.get('KJ31-4020')).toContain('return loss 19.1 dB')
    const serials = allOf(answer)
    expect(new Set(serials).size).toBe(serials.length)
    expect(serials.length).toBe(28 + 3)
    for (const { trimMm, how } of answer.rescued) {
      expect(how).toBe('open end')
      expect(trimMm).toBeGreaterThan(0)
    }
  })

  test('5° at 2400 MHz are 5.787 ps: both ways give the same sets', async () => {
    const folder = await demoWith(WITHOUT_RECORDS)
    const byPhase = await asked<Sets>('sets', folder, ...cable, '--window-deg', '3.6', '--freq', '1000MHz')
    const byDelay = await asked<Sets>('sets', folder, ...cable, '--window-ps', '10')
    expect(byPhase.sets.length).toBe(byDelay.sets.length)
    expect(byDelay.rescued).toEqual([])
  })

  test('a lead a whole turn away is another lead, one across 360° is not', async () => {
    const folder = await demoWith({})
    const file = join(folder, 'lead_tests.csv')
    const [header, ...rows] = (await readFile(file, 'utf8')).trim().split(/\r?\n/)
    const like = (serial: string, delayPs: number, phaseDeg: number) =>
      rows[0]!
        .split(',')
        .map((cell, i) => ({ 0: serial, 7: String(delayPs), 8: String(phaseDeg) })[i] ?? cell)
        .join(',')
    // 1 degree at 2400 MHz is 1.157 ps; 29 turns are 12083.33 ps
    const leads = [like('S1', 12_083.9, 359.5), like('S2', 12_082.8, 0.5), like('S3', 12_500.0, 0)]
    const changed = await demoWith({ 'lead_tests.csv': [header, ...leads, ''].join('\r\n') })
    const answer = await asked<Sets>('sets', changed, ...cable, '--size', '2')
    expect(answer.sets).toEqual([['S2', 'S1']])
    const odd = await demoWith({ 'lead_tests.csv': [header, like('S1', 12_083.9, 180), ''].join('\r\n') })
    expect((await asked<Sets>('sets', odd, ...cable)).unused[0]!.why).toContain('contradict each other')
  })

  test('lots and connectors are not mixed, and loss may count as well', async () => {
    const folder = await demoWith({})
    const file = join(folder, 'lead_tests.csv')
    const [header, ...rows] = (await readFile(file, 'utf8')).trim().split(/\r?\n/)
    const mixed = rows.map((row, i) => (i % 2 === 0 ? row : row.replace('L059-3106A', 'L059-3107B')))
    const changed = await demoWith({ 'lead_tests.csv': [header, ...mixed, ''].join('\r\n') })
    const lotOf = new Map(mixed.map((row) => [row.split(',')[0], row.split(',')[2]]))
    const answer = await asked<Sets>('sets', changed, ...cable)
    expect(answer.sets.length).toBeGreaterThan(0)
    for (const set of answer.sets) expect(new Set(set.map((serial) => lotOf.get(serial))).size).toBe(1)
    const withLoss = await asked<Sets>('sets', DEMO, ...cable, '--window-db', '0.02')
    const loss = new Map(rows.map((row) => [row.split(',')[0], Number(row.split(',')[9])]))
    for (const set of withLoss.sets) {
      const of = set.map((serial) => loss.get(serial)!)
      expect(Math.max(...of) - Math.min(...of)).toBeLessThanOrEqual(0.02 + 1e-6)
    }
    expect(withLoss.sets.length).toBeLessThan(6)
    expect(withLoss.provenBest).toBe(true)
  })

  test('says in words what it found and what proves it', async () => {
    expect(await runCommandLine(['sets', DEMO, ...cable])).toBe(0)
    expect(printed.out).toContain(
      '6 sets of 4 leads of C059-50 within 5° at 2400 MHz (proven: no choice makes more)',
    )
    expect(printed.out).toContain('takes off at least 21.6 mm (75°), which makes it fit no set')
  })

  test.each([
    ['an unknown cable', ['--cable', '__proto__'], /There is no cable __proto__/],
    ['two windows', ['--window-deg', '5', '--window-ps', '5'], /not both/],
    ['a set of one', ['--size', '1'], /from 2 to 200/],
    ['a frequency beyond the type', ['--freq', '7GHz'], /No phase is given at 7000 MHz/],
  ])('%s ends with 2', async (_, options, says) => {
    expect(await runCommandLine(['sets', DEMO, ...cable, ...options])).toBe(2)
    expect(printed.error).toMatch(says)
    expect(printed.out).toBe('')
  })
})

describe('lead', () => {
  test('answers cut length, strip dimensions, kit, tools, limits, steps and start for machines', async () => {
    const folder = await demoWith(WITHOUT_RECORDS)
    const answer = await asked<Lead>('lead', folder, '--order', '7119', '--line', '1')
    // 3 m tip to tip less 9.5 mm at each end
    expect(answer.cutLengthMm).toBe(2_981)
    expect(answer.stripMm).toMatchObject({
      a: { jacket: 16.6, braid: 7.8, dielectric: 5.2 },
      b: { jacket: 16.6, braid: 7.8, dielectric: 5.2 },
    })
    expect(answer.kit).toMatchObject([{ part: 'N-C-059', needed: 2 * answer.start, short: null }])
    expect(answer.tools.map(({ kind }) => kind)).toEqual(expect.arrayContaining(['die', 'wrench', 'iron']))
    expect(answer.limits.list.map(({ name }) => name)).toContain('insertion loss')
    expect(answer.start).toBeGreaterThanOrEqual(4)
  })

  test('with records of the works it learns, counts the store and looks at the calibration', async () => {
    const answer = await asked<Lead>('lead', DEMO, '--order', '7119', '--line', '1')
    expect(Math.abs(answer.cutLengthMm - 2_980.7)).toBeLessThan(0.2)
    expect(answer.kit[0]).toMatchObject({ short: 0 })
    expect(answer.tools.find(({ kind }) => kind === 'die')!.trouble).toContain('due for calibration')
    const short = await asked<Lead>('lead', DEMO, '--order', '7125', '--line', '1')
    expect(short.kit.find(({ part }) => part === '4310-S-142')!.short).toBeGreaterThan(0)
  })

  test('text of an order steers no terminal and stays text', async () => {
    expect(await runCommandLine(['lead', DEMO, '--order', '7124', '--line', '1'])).toBe(0)
    expect(printed.out).toContain('marker sleeve on end A')
    expect(printed.out).toContain('not permission to run')
  })

  test.each([
    ['an unknown line', ['--order', '7119', '--line', '9'], /There is no order line 7119\/9/],
    ['a bulk line', ['--order', '7101', '--line', '1'], /is no lead/],
    ['a line that is no number', ['--order', '7119', '--line', 'x'], /from 1/],
    [
      'a plan that is not there',
      ['--order', '7119', '--line', '1', '--plan', 'no.json'],
      /There is no file no\.json/,
    ],
  ])('%s ends with 2', async (_, options, says) => {
    expect(await runCommandLine(['lead', DEMO, ...options])).toBe(2)
    expect(printed.error).toMatch(says)
    expect(printed.out).toBe('')
  })
})

describe('what a new connector would bring', () => {
  test('a lead long enough to lose its connector becomes a spare of a shorter set, with cost and chance', async () => {
    const [header, first] = (await readFile(join(DEMO, 'lead_tests.csv'), 'utf8')).trim().split(/\r?\n/)
    const like = (serial: string, delayPs: number, rlDb: number) =>
      first!
        .split(',')
        .map((cell, i) => {
          const phaseDeg = 360 - ((360 * 2_400 * delayPs * 1e-6) % 360)
          return { 0: serial, 7: String(delayPs), 8: phaseDeg.toFixed(2), 10: String(rlDb) }[i] ?? cell
        })
        .join(',')
    // 21.6 mm of N-C-059 at 0.83 of the speed of light are 86.8 ps
    const rows = [
      like('S1', 12_000, 30),
      like('S2', 12_000.5, 30),
      like('LONG', 12_088, 30),
      like('BAD', 12_087, 15),
      like('NEAR', 12_040, 30),
    ]
    const folder = await demoWith({
      'more/open_leads.csv': null,
      'lead_tests.csv': [header, ...rows, ''].join('\r\n'),
    })
    const answer = await asked<Sets>(
      ...['sets', folder, '--cable', 'C059-50', '--window-ps', '6', '--size', '2'],
    )
    expect(answer.sets).toEqual([['S1', 'S2']])
    const of = (serial: string) => answer.unused.find((lead) => lead.serial === serial)!
    for (const serial of ['LONG', 'BAD']) {
      const { trimMm, costEur, chancePct } = of(serial).newConnector!
      expect(trimMm).toBeGreaterThanOrEqual(21.6 - 1e-9)
      expect(costEur).toBeGreaterThan(3.54)
      expect(chancePct).toBeGreaterThan(50)
      expect(chancePct).toBeLessThan(100)
    }
    expect(of('BAD').why).toContain('return loss 15 dB')
    expect(of('NEAR').newConnector).toMatchObject({ trimMm: null, chancePct: 0 })
  })

  test('open leads of a lot without finished ones are not lost', async () => {
    const rows = ['serial,cable,lot,conn_a,conn_b,round_trip_ps,temp_c']
    for (const [i, ps] of [24_000, 24_010, 24_030].entries())
      rows.push(`O${i},C059-50,L9,N-C-059,N-C-059,${ps},20`)
    const folder = await demoWith({ 'more/open_leads.csv': `${rows.join('\r\n')}\r\n` })
    const pairs = await asked<Sets>('sets', folder, '--cable', 'C059-50', '--size', '2')
    const named = [...pairs.rescuedSets.flat(), ...pairs.unused.map(({ serial }) => serial)]
    for (const serial of ['O0', 'O1', 'O2']) expect(named).toContain(serial)
  })
})
