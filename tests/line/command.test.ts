import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { beforeEach, describe, expect, it, vi } from 'vitest'
import { runCommandLine } from '../../src/cli/command-line.ts'
import { planFile } from '../../src/works/plan-file.ts'
import { readMountings } from '../../src/works/read-mountings.ts'
import { DEMO } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { demoLine } from './demo-settings.ts'

let out = ''
let err = ''
beforeEach(() => {
  out = ''
  err = ''
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    out += String(text)
    return true
  })
  vi.spyOn(process.stderr, 'write').mockImplementation((text) => {
    err += String(text)
    return true
  })
  return () => vi.restoreAllMocks()
})

async function planPath(
  change: (plan: Record<string, unknown>) => unknown = (plan) => plan,
): Promise<string> {
  const { works, plan } = await demoLine()
  const path = join(await emptyFolder(), 'plan.json')
  await writeFile(path, JSON.stringify(change(planFile(plan, works) as Record<string, unknown>)))
  return path
}

describe('lastmetre line', () => {
  it('prints every line mounting for machines, with at least the fields that are promised', async () => {
    expect(await runCommandLine(['line', DEMO, '--plan', await planPath(), '--json'])).toBe(0)
    const list = JSON.parse(out)
    expect(list.length).toBeGreaterThan(10)
    for (const s of list) {
      for (const name of ['speedMPerMin', 'rampMPerS2', 'tensionN', 'minutes'])
        expect(s[name]).toBeGreaterThan(0)
      expect(s.spark).toMatchObject({
        kv: expect.any(Number),
        dwellCycles: expect.any(Number),
        speedLimitMPerMin: expect.any(Number),
        untestedM: expect.any(Number),
      })
      for (const p of s.presets) expect(p.slowAtM).toBeLessThan(p.stopAtM)
      for (const l of s.limits)
        expect(Object.keys(l)).toEqual(
          expect.arrayContaining(['name', 'value', 'unit', 'used', 'binding', 'source']),
        )
    }
  })

  it('prints one in words, with reasons, and follows a change', async () => {
    const path = await planPath()
    const { works, plan } = await demoLine()
    const number = 1 + plan.mountings.findIndex((m) => works.site.lines.some((l) => l.id === m.line))
    const asked = ['line', DEMO, '--plan', path, '--mounting', String(number)]
    expect(await runCommandLine(asked)).toBe(0)
    expect(out).toMatch(/^Mounting \d+: /)
    expect(out).toContain('because: ')
    out = ''
    expect(await runCommandLine([...asked, '--set', 'speedMaxMPerMin=40'])).toBe(0)
    expect(out).toContain('40 m/min')
  })

  it('refuses a bench mounting, a mounting that is not there, and an input that makes no sense', async () => {
    const path = await planPath()
    const { works, plan } = await demoLine()
    const bench = 1 + plan.mountings.findIndex((m) => !works.site.lines.some((l) => l.id === m.line))
    expect(await runCommandLine(['line', DEMO, '--plan', path, '--mounting', String(bench)])).toBe(2)
    expect(err).toContain('no rewinding line')
    expect(await runCommandLine(['line', DEMO, '--plan', path, '--mounting', '9999'])).toBe(2)
    expect(err).toContain('There is no mounting 9999')
    expect(await runCommandLine(['line', DEMO, '--plan', path, '--set', 'tensionN=0'])).toBe(2)
    expect(err).toContain('give a number above 0')
    expect(await runCommandLine(['line', DEMO, '--plan', path, '--set', 'toString=1'])).toBe(2)
    expect(await runCommandLine(['line', DEMO, '--plan', join(path, 'missing')])).toBe(2)
    expect(err).toContain('There is no file')
  })
})

describe('plan.json read back', () => {
  it('is the plan that was written, to the micrometre', async () => {
    const { works, plan } = await demoLine()
    const text = JSON.stringify(planFile(plan, works))
    expect(readMountings(text, works)).toEqual(plan.mountings)
  })

  it.each([
    ['not JSON', '{', /it is not JSON/],
    ['another format', '{"format":"x","version":1,"mountings":[]}', /format/],
    [
      'a drum that is not there',
      file([{ drum: 'X9', line: 'RW-1', intervals: [{ use: 'end', fromM: 0, toM: 5 }] }]),
      /mountings\[0\]\.drum: X9 is not in the works/,
    ],
    [
      'a gap',
      file([
        {
          drum: 'D001',
          line: 'RW-1',
          intervals: [
            { use: 'end', fromM: 0, toM: 5 },
            { use: 'end', fromM: 6, toM: 7 },
          ],
        },
      ]),
      /intervals\[1\].*does not begin/,
    ],
    [
      'a length that is no number',
      file([{ drum: 'D001', line: 'RW-1', intervals: [{ use: 'end', fromM: 0, toM: 'x' }] }]),
      /toM/,
    ],
    [
      'a use that is none',
      file([{ drum: 'D001', line: 'RW-1', intervals: [{ use: 'gift', fromM: 0, toM: 1 }] }]),
      /use/,
    ],
    [
      'a put-up that is not there',
      file([
        {
          drum: 'D001',
          line: 'RW-1',
          intervals: [{ use: 'remnant', fromM: 0, toM: 1, putup: 'constructor' }],
        },
      ]),
      /putup: constructor is not in the works/,
    ],
  ])('is refused with its place: %s', async (_name, text, message) => {
    const { works } = await demoLine()
    expect(() => readMountings(text, works)).toThrow(message)
  })
})

function file(mountings: unknown[]): string {
  return JSON.stringify({ format: 'lastmetre-plan', version: 1, mountings })
}
