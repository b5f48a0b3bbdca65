import { mkdir, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { runCommandLine } from '../../src/cli/command-line.ts'
import { DEMO, demoWith } from '../support/demo.ts'

afterEach(() => {
  vi.restoreAllMocks()
})

/** Runs a command in this process; answers its exit code and what it printed. */
async function run(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  const said = { out: '', err: '' }
  const take = (key: 'out' | 'err') => (chunk: unknown) => {
    said[key] += String(chunk)
    return true
  }
  vi.spyOn(process.stdout, 'write').mockImplementation(take('out'))
  vi.spyOn(process.stderr, 'write').mockImplementation(take('err'))
  const code = await runCommandLine(args)
  vi.restoreAllMocks()
  return { code, ...said }
}

describe('counter', () => {
  it('prints what the issue asks for as JSON, a line each', async () => {
    const { code, out } = await run('counter', DEMO, '--json')
    expect(code).toBe(0)
    const lines = JSON.parse(out) as Record<string, unknown>[]
    expect(lines.map((l) => l.line)).toEqual(['RW-1', 'RW-2'])
    for (const line of lines)
      for (const key of [
        'errorPct',
        'standardUncertaintyPct',
        'trendPctPerDay',
        'signals',
        'guardPct',
        'suspect',
      ])
        expect(line).toHaveProperty(key)
    const rules = Object.keys(lines[0]!.guardPct as object)
    expect(rules).toEqual(expect.arrayContaining(['never_short', 'no_unit_overstated', 'batch_mean_2pct']))
  })

  it('says it in words, with the pieces that are suspect', async () => {
    const { code, out } = await run('counter', DEMO)
    expect(code).toBe(0)
    expect(out).toMatch(/^RW-2: reads 0\.2\d+ % ± .* long.*drift \+0\.001\d % a day/m)
    expect(out).toMatch(/K31-0418, cut 2031-02-18: short by 0\.3\d+ m/)
  })

  it('checks in feet are set aside and named; too few leave the error unknown as null, not nought', async () => {
    const header = 'date,line,cable,counter_m,tape_m,temp_c,tension_n,speed_m_min,person'
    const folder = await demoWith({
      'counter_checks.csv': `${header}\r\n2031-03-01,RW-1,C081-50,65.6,20,20,23,60,P1\r\n`,
    })
    const { code, out } = await run('counter', folder, '--json')
    expect(code).toBe(0)
    const [line] = JSON.parse(out) as Record<string, unknown>[]
    expect(line).toMatchObject({
      errorPct: null,
      standardUncertaintyPct: null,
      guardPct: null,
      correctionInForcePct: null,
    })
    expect(line!.unknown).toContain('No check is recorded')
    expect(JSON.stringify(line!.setAside)).toContain('write both in metres')
    const words = await run('counter', folder)
    expect(words.out).toMatch(/^RW-1: not known/m)
  })

  it('refuses a bad optional record with file, row and column', async () => {
    const folder = await demoWith({})
    await mkdir(join(folder, 'more'), { recursive: true })
    await writeFile(
      join(folder, 'more', 'cuts.csv'),
      'serial,line,cable,cut_date,declared_m,counter_m\r\n=K1,RW-1,C081-50,2031-03-01,1,1\r\n',
    )
    const { code, out } = await run('counter', folder)
    expect(code).toBe(2)
    expect(out).toMatch(/^more\/cuts\.csv:2 serial — /m)
  })
})

describe('witnesses', () => {
  it('puts the drum that is booked wrong first, and names the book', async () => {
    const { code, out } = await run('witnesses', DEMO, '--json')
    expect(code).toBe(0)
    const drums = JSON.parse(out) as Record<string, unknown>[]
    expect(drums).toHaveLength(42)
    expect(drums[0]).toMatchObject({ drum: 'D015', agree: false, quarrels: 'book' })
    expect(drums.slice(1).every((d) => d.agree === true)).toBe(true)
    expect((await run('witnesses', DEMO)).out).toMatch(/^D015: .* THE BOOK DOES NOT FIT, 13\.\d m too long/m)
  })
})

describe('inspection', () => {
  it('gives rates with limits and the plan of a lot', async () => {
    const { code, out } = await run('inspection', DEMO, '--lot', '120', '--aql', '1.0', '--json')
    expect(code).toBe(0)
    const { cables, plan } = JSON.parse(out)
    expect(cables).toHaveLength(8)
    // code F points to E: 13 with none faulty (aql.resolve.F.1.0)
    expect(plan).toEqual({ letter: 'E', sample: 13, accept: 0, wholeLot: false })
    const words = await run('inspection', DEMO)
    expect(words.out).toMatch(/^C049-50: 0 faults in .* clean for \d+ m at least/m)
  })

  it('refuses a level or a lot that the table does not have', async () => {
    for (const args of [
      ['--aql', '3'],
      ['--level', 'IV'],
      ['--lot', '1'],
      ['--lot', '1e3'],
    ])
      expect((await run('inspection', DEMO, ...args)).code).toBe(2)
  })
})
