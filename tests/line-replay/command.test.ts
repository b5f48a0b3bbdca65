import { readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { runCommandLine } from '../../src/cli/command-line.ts'
import { DEMO } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'

/** The command over the demo's own record (invented data, here only as an example that must stay readable). */
async function run(...args: string[]) {
  const said = { out: '', err: '' }
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    said.out += text
    return true
  })
  vi.spyOn(process.stderr, 'write').mockImplementation((text) => {
    said.err += text
    return true
  })
  const code = await runCommandLine(['run', DEMO, ...args])
  return { code, ...said }
}

afterEach(() => vi.restoreAllMocks())

async function recordWith(change: (cells: string[], i: number, header: string[]) => void): Promise<string> {
  const rows = (await readFile(join(DEMO, 'line_run.csv'), 'utf8')).trimEnd().split('\r\n')
  const header = rows[0]!.split(',')
  const text = rows.map((row, i) => {
    const cells = row.split(',')
    if (i > 0) change(cells, i, header)
    return cells.join(',')
  })
  const file = join(await emptyFolder(), 'run-7.csv')
  await writeFile(file, text.join('\n'))
  return file
}

describe('run', () => {
  it('reads back the record of the works folder', async () => {
    const { code, out } = await run()
    expect(code).toBe(0)
    expect(out).toMatch(/^RW-2, C110-50: 548 samples/)
    expect(out).toMatch(/at 40\.6 s: The run will stop 0\.1\d m short of its preset of 100 m/)
    expect(out).toMatch(/wrong +18 s {2}The counter slipped at 36\.\d to 43\.\d m/)
    expect(out).toMatch(/wrong +21 s {2}Spark at 48\.3 to 48\.8 m from the outer end/)
    expect(out).toMatch(/wrong +28 s {2}Lump at 67\.\d to 67\.\d m from the outer end/)
  })

  it('the slip of the demo is what its own drive speed says', async () => {
    const { out } = await run('--json')
    const [{ findings }] = JSON.parse(out)
    const slips = findings.filter(({ kind }: { kind: string }) => kind === 'slip')
    expect(slips).toHaveLength(1)
    const rows = (await readFile(join(DEMO, 'line_run.csv'), 'utf8')).trimEnd().split('\r\n').slice(1)
    const read = rows.map((row) => row.split(',').map(Number))
    // columns t_s, v_m_s, count_m; the drive's own speed is no witness of the replay. 10 to 17 s say how the counter runs
    const drivenM = (low: number, high: number) =>
      read.reduce((sum, r) => sum + (r[3]! > low && r[3]! <= high ? r[5]! / 10 : 0), 0)
    const countedM = (low: number, high: number) => {
      const inside = read.filter((r) => r[3]! >= low && r[3]! <= high)
      return inside.at(-1)![6]! - inside[0]![6]!
    }
    const scale = countedM(10, 17) / drivenM(10, 17)
    const driven = scale * drivenM(17.5, 21.5) - countedM(17.5, 21.5)
    expect(driven).toBeGreaterThan(0.08)
    expect(Math.abs(slips[0].size - driven)).toBeLessThanOrEqual(slips[0].sizeUncertainty + 0.002)
  })

  it('names row and column of what cannot be read', async () => {
    const file = await recordWith((cells, i, header) => {
      if (i === 30) cells[header.indexOf('od_x_mm')] = 'NaN'
      if (i === 40) cells[header.indexOf('t_s')] = '1.0'
      if (i === 50) cells[header.indexOf('line')] = 'RW-9'
    })
    const { code, out, err } = await run('--file', file)
    expect(code).toBe(2)
    const lines = out.trimEnd().split('\n')
    expect(lines[0]).toMatch(/^run-7\.csv:31 od_x_mm — .*NaN/)
    expect(lines[1]).toMatch(/^run-7\.csv:41 t_s — 1 s does not rise from 3\.8 s/)
    expect(lines[2]).toMatch(/^run-7\.csv:51 line — .*RW-9/)
    expect(err).toMatch(/3 problems/)
  })

  it('a record of two lines is two runs', async () => {
    const file = await recordWith((cells, i, header) => {
      if (i > 300) cells[header.indexOf('line')] = 'RW-1'
    })
    const { code, out } = await run('--file', file, '--json')
    expect(code).toBe(0)
    expect(
      JSON.parse(out).map(({ line, samples }: { line: string; samples: number }) => [line, samples]),
    ).toEqual([
      ['RW-2', 300],
      ['RW-1', 248],
    ])
  })

  it('ends with 2 where there is no such file', async () => {
    const { code, err } = await run('--file', 'no-such.csv')
    expect(code).toBe(2)
    expect(err).toMatch(/There is no file no-such\.csv/)
  })
})
