import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { command } from '../support/command.ts'
import { DEMO, demoWith } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'

const FILES = ['labels.pdf', 'plan.csv', 'plan.json', 'run-sheets.pdf', 'unserved.csv']

describe('check', () => {
  it('ends with 0 on a sound folder', async () => {
    const { code, stdout } = await command(['check', DEMO]).ended
    expect(stdout).toContain('kelderwick: sound. 8 cable types, 42 drums, 120 order lines')
    expect(code).toBe(0)
  })

  it('lists every problem with file, row and column and ends with 2', async () => {
    const orders = (await readFile(join(DEMO, 'orders.csv'), 'utf8')).split('\r\n')
    const header = orders[0]?.split(',') ?? []
    const cells = orders[1]?.split(',') ?? []
    cells[header.indexOf('due_date')] = '2031-02-31'
    orders[1] = cells.join(',')
    const folder = await demoWith({ 'orders.csv': orders.join('\r\n'), 'faults.csv': null })
    const { code, stdout, stderr } = await command(['check', folder]).ended
    expect(stdout).toMatch(/^orders\.csv:2 due_date — .*2031-02-31.* — .+$/m)
    expect(stdout).toMatch(/^faults\.csv — .+ — .+$/m)
    expect(stderr).toContain('2 problems')
    expect(code).toBe(2)
  })

  it('prints at most 1 000 problems and counts the rest', async () => {
    const header = (await readFile(join(DEMO, 'month_ledger.csv'), 'utf8')).split('\r\n')[0]
    const rows = Array.from({ length: 1_500 }, () => 'C081-50')
    const folder = await demoWith({ 'month_ledger.csv': [header, ...rows].join('\r\n') })
    const { code, stdout } = await command(['check', folder]).ended
    const lines = stdout.trimEnd().split('\n')
    expect(lines).toHaveLength(1_001)
    expect(lines.at(-1)).toBe('… and 500 more')
    expect(code).toBe(2)
  })

  it('lets no text of a file steer the terminal', async () => {
    const folder = await demoWith({ 'faults.csv': 'fault\u001b[2J\u202e,x\r\n' })
    const { stdout, code } = await command(['check', folder]).ended
    expect(stdout).not.toMatch(/[\u001b\u202e]/)
    expect(code).toBe(2)
  })

  it('ends with 2 where there is no such folder', async () => {
    const { code, stderr } = await command(['check', '/no/such/folder']).ended
    expect(stderr).toContain('There is no folder /no/such/folder')
    expect(code).toBe(2)
  })
})

describe('plan', () => {
  it('writes the five files, over older ones of its own, and touches no other', async () => {
    const out = join(await emptyFolder(), 'a new', 'folder')
    await mkdir(out, { recursive: true })
    await writeFile(join(out, 'plan.csv'), 'old')
    await writeFile(join(out, 'mine.txt'), 'mine')
    const { code, stdout, stderr } = await command(['plan', DEMO, '--out', out, '--seconds', '1', '--json'])
      .ended
    expect(code).toBe(0)
    expect((await readdir(out)).sort()).toEqual([...FILES, 'mine.txt'].sort())
    expect(await readFile(join(out, 'mine.txt'), 'utf8')).toBe('mine')
    expect(await readFile(join(out, 'plan.csv'), 'utf8')).not.toBe('old')
    const summary = JSON.parse(stdout) as Record<string, unknown>
    expect(summary).toMatchObject({ works: 'kelderwick', seed: 1, stopped: false })
    expect([...(summary.files as string[])].sort()).toEqual(FILES)
    expect(stderr).toMatch(/cost \d+\.\d\d EUR/)
  })

  it('writes the best so far on Ctrl-C, however often it is pressed, and ends with 3', async () => {
    const out = await emptyFolder()
    const running = command(['plan', DEMO, '--out', out, '--seconds', '600'])
    await running.sawError(/cost/)
    running.process.kill('SIGINT')
    running.process.kill('SIGINT')
    const { code, stdout } = await running.ended
    expect(code).toBe(3)
    expect(stdout).toContain('Written: plan.json')
    expect((await readdir(out)).sort()).toEqual(FILES)
  })

  it('writes nothing for a folder with problems and ends with 2', async () => {
    const out = join(await emptyFolder(), 'out')
    const folder = await demoWith({ 'costs.json': '{' })
    const { code, stdout } = await command(['plan', folder, '--out', out]).ended
    expect(stdout).toMatch(/^costs\.json/m)
    expect(code).toBe(2)
    await expect(readdir(out)).rejects.toMatchObject({ code: 'ENOENT' })
  })

  it('writes neither into the works folder nor where no folder can be', async () => {
    const folder = await demoWith({})
    expect(await command(['plan', folder, '--out', folder]).ended).toMatchObject({ code: 2 })
    const file = join(folder, 'orders.csv')
    expect(await command(['plan', folder, '--out', join(file, 'out')]).ended).toMatchObject({ code: 2 })
  })
})

describe('help and wrong calls', () => {
  it('helps with examples and exit codes', async () => {
    const { code, stdout } = await command(['--help']).ended
    expect(stdout).toContain('lastmetre plan demo/kelderwick --out')
    expect(stdout).toContain('Exit codes:')
    expect(code).toBe(0)
  })

  it('says its version', async () => {
    const { code, stdout } = await command(['--version']).ended
    expect(stdout).toMatch(/^\d+\.\d+\.\d+\n$/)
    expect(code).toBe(0)
  })

  it.each([
    [[]],
    [['paln', DEMO]],
    [['check']],
    [['check', DEMO, '--sconds', '3']],
    [['check', DEMO, 'too', 'much']],
    [['plan', DEMO]],
    [['plan', DEMO, '--out', 'x', '--seconds', '0']],
    [['plan', DEMO, '--out', 'x', '--seconds', 'NaN']],
    [['plan', DEMO, '--out', 'x', '--seed', '-1']],
    [['serve', '--port', '99999']],
  ])('ends with 2 on %j and says what is wrong', async (args) => {
    const { code, stderr } = await command(args).ended
    expect(stderr.length).toBeGreaterThan(10)
    expect(code).toBe(2)
  })
})
