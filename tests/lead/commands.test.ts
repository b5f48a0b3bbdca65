import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { runCommandLine } from '../../src/cli/command-line.ts'
import { chainLine, chainOf } from '../../src/lead/chain.ts'
import { specOfOrder } from '../../src/lead/lead-spec.ts'
import { cascaded, lineSweep } from '../../src/lead/sweep-algebra.ts'
import { touchstoneText } from '../../src/lead/touchstone-write.ts'
import { DEMO } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { works } from './demo-works.ts'
import { evenHz } from './simulated-lead.ts'

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

const json = () => JSON.parse(printed.out) as Record<string, unknown>

describe('loss', () => {
  const asked = ['loss', DEMO, '--cable', 'C081-50', '--length', '30m', '--freq', '144MHz']

  test('answers every figure with its unit for machines', async () => {
    const all = [...asked, '--a', 'N-C-081', '--b', 'N-C-081', '--vswr', '3', '--temp', '30', '--json']
    expect(await runCommandLine(all)).toBe(0)
    const answer = json()
    for (const name of [
      ...['matchedLossDb', 'totalLossDb', 'delayNs', 'electricalLengthM', 'phaseDeg', 'powerLimitW'],
      ...['validToMhz', 'standardUncertaintyDb'],
    ])
      expect(answer[name], name).toBeTypeOf('number')
    expect(answer.limitedBy).toBe('cable C081-50')
    expect(answer.totalLossDb as number).toBeGreaterThan(answer.matchedLossDb as number)
    const curve = answer.curve as { fMhz: number }[]
    expect(curve.at(-1)!.fMhz).toBe(answer.validToMhz)
  })

  test('feet are the same cable as metres', async () => {
    await runCommandLine([...asked, '--json'])
    const metres = json().matchedLossDb as number
    printed.out = ''
    const feet = asked.map((word) => (word === '30m' ? '100ft' : word))
    await runCommandLine([...feet, '--json'])
    expect((json().matchedLossDb as number) / metres).toBeCloseTo(30.48 / 30, 9)
  })

  test('says in words what it is, and what a figure is not', async () => {
    expect(await runCommandLine(asked)).toBe(0)
    expect(printed.out).toContain('30 m of C081-50 with no connector and no connector at 144 MHz and 20 °C')
    expect(printed.out).toContain('not permission to run')
  })

  test.each([
    ['a length without unit', ['--length', '30'], /has no unit/],
    ['a frequency without unit', ['--freq', '144'], /with a decimal point and its unit/],
    ['a frequency of nought', ['--freq', '0MHz'], /above 0/],
    ['a frequency beyond the type', ['--freq', '7GHz'], /No figure is given at 7000 MHz/],
    ['an unknown cable', ['--cable', '__proto__'], /There is no cable __proto__/],
    ['an unknown connector', ['--a', 'N-X'], /There is no connector N-X/],
    ['a connector of another cable', ['--a', 'N-C-110'], /fits C110-50/],
    ['a standing-wave ratio below 1', ['--vswr', '0.5'], /from 1 to 1000/],
    ['a temperature beyond the rule', ['--temp', '120'], /-40 to 80/],
  ])('%s ends with 2', async (_, change, says) => {
    expect(await runCommandLine([...asked, ...change])).toBe(2)
    expect(printed.error).toMatch(says)
    expect(printed.out).toBe('')
  })
})

describe('judge', () => {
  const order = works.orders.find((o) => o.order === '7119')!
  const spec = specOfOrder(works, order)!
  const { cable, a, b } = spec
  const chain = chainOf({ cable, attenuation: works.attenuation, lengthM: spec.cutM, tempC: 20, a, b })
  const fHz = evenHz(5e6, 6e9, 1_200)
  const form = { version: '1' as const, unit: 'MHz' as const, format: 'DB' as const, comments: [] }
  const line = (lengthM: number) => lineSweep(fHz, lengthM, 50, (f) => chainLine(chain, f))

  async function fileOf(text: string, name = 'lead.s2p'): Promise<string> {
    const path = join(await emptyFolder(), name)
    await writeFile(path, text)
    return path
  }

  test('answers verdict, rules, bumps and pitch for machines', async () => {
    const path = await fileOf(touchstoneText(line(spec.lengthM), form))
    expect(await runCommandLine(['judge', DEMO, path, '--spec', '7119/1', '--json'])).toBe(0)
    const answer = json()
    expect(answer).toMatchObject({ verdict: 'pass', pitchM: null, bumps: [], file: 'lead.s2p' })
    for (const rule of answer.rules as Record<string, unknown>[])
      expect(Object.keys(rule)).toEqual(
        expect.arrayContaining(['name', 'measured', 'limit', 'unit', 'atMhz', 'falsePassPct', 'pass']),
      )
  })

  test('with an instrument of the works its uncertainty counts, and one that is overdue proves nothing', async () => {
    const path = await fileOf(touchstoneText(line(spec.lengthM), form))
    const asked = ['judge', DEMO, path, '--spec', '7119/1', '--json']
    expect(await runCommandLine([...asked, '--instrument', 'VNA-1'])).toBe(0)
    expect(json()).toMatchObject({ instrument: { lossDb: 0.04, gamma: 0.008 } })
    printed.out = ''
    expect(await runCommandLine([...asked, '--instrument', 'VNA-2', '--u-loss', '0.06'])).toBe(0)
    expect(json()).toMatchObject({ instrument: { lossDb: 0.06, gamma: 0.02 } })
    expect(printed.out).toContain('VNA-2 was due for calibration on 2031-01-22')
    expect(json().verdict).toBe('not proven')
    expect(await runCommandLine([...asked, '--instrument', 'VNA-9'])).toBe(2)
    expect(printed.error).toContain('There is no instrument VNA-9')
  })

  test('the same lead by serial, by parts, and behind an adapter that is taken off', async () => {
    const adapter = line(0.2)
    const behind = await fileOf(touchstoneText(cascaded(adapter, line(spec.lengthM)), form))
    const known = await fileOf(touchstoneText(adapter, form), 'adapter.s2p')
    const parts = ['--spec', 'C059-50,3m,N-C-059,N-C-059']
    expect(await runCommandLine(['judge', DEMO, behind, ...parts])).toBe(0)
    expect(printed.out).toContain('lead.s2p (Touchstone 1): FAIL')
    expect(await runCommandLine(['judge', DEMO, behind, ...parts, '--adapter-a', known])).toBe(0)
    expect(printed.out).toContain('lead.s2p (Touchstone 1): PASS')
    expect(printed.out).toContain('Taken off by calculation: adapter.s2p')
    const lead = await fileOf(touchstoneText(line(spec.lengthM), form))
    expect(await runCommandLine(['judge', DEMO, lead, '--lead', 'KJ31-4001'])).toBe(0)
    expect(printed.out).toContain('21 °C')
    expect(printed.out).toMatch(
      /On record 1\.274 dB at 2400 MHz and 21 °C; this file reads 1\.\d+ dB at 240\d\.\d MHz/,
    )
  })

  test.each([
    ['no lead named', [], /Name the lead by its serial/],
    ['two leads named', ['--lead', 'KJ31-4001', '--spec', '7119/1'], /not both/],
    ['an unknown serial', ['--lead', 'X<b>'], /There is no lead X<b>/],
    ['an unknown order line', ['--spec', '7119/9'], /There is no order line 7119\/9/],
    ['an order line that is no lead', ['--spec', '7101/1'], /is no lead/],
    ['parts without a unit', ['--spec', 'C059-50,3,N-C-059,N-C-059'], /has no unit/],
    ['parts with an unknown connector', ['--spec', 'C059-50,3m,N-C-059,Q'], /There is no connector Q/],
    [
      'a lead shorter than its connectors',
      ['--spec', 'C059-50,0.01m,N-C-059,N-C-059'],
      /longer than the lead/,
    ],
  ])('%s ends with 2', async (_, options, says) => {
    const path = await fileOf('# MHz S RI R 50\n1 0 0 1 0 1 0 0 0\n')
    expect(await runCommandLine(['judge', DEMO, path, ...options])).toBe(2)
    expect(printed.error).toMatch(says)
  })

  test.each([
    ['bad.s2p', '# MHz S RI R 50\n1 0 0 1 0 1 0 0 \u001b[2J\n', /bad\.s2p line 2: a control character/],
    ['bad.csv', 'Freq(Hz),S11(DB)\n1,x\n', /bad\.csv line 2: "x" is not a number/],
    ['bad.txt', 'x', /ends in none of/],
  ])('%s is refused with its line and steers no terminal', async (name, text, says) => {
    expect(await runCommandLine(['judge', DEMO, await fileOf(text, name), '--spec', '7119/1'])).toBe(2)
    expect(printed.error).toMatch(says)
    expect(printed.error).not.toContain('\u001b')
  })

  test('a file that is not there, and a folder, are refused', async () => {
    expect(await runCommandLine(['judge', DEMO, 'no-such.s2p', '--spec', '7119/1'])).toBe(2)
    expect(printed.error).toContain('There is no file no-such.s2p')
    expect(await runCommandLine(['judge', DEMO, DEMO, '--spec', '7119/1'])).toBe(2)
    expect(printed.error).toContain(`There is no file ${DEMO}`)
  })
})
