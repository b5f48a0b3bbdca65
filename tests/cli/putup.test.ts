import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { command } from '../support/command.ts'
import { DEMO, demoWith } from '../support/demo.ts'

describe('putup', () => {
  it('names the cheapest that fits and lists the rest with why', async () => {
    const { code, stdout } = await command(['putup', DEMO, '--cable', 'C081-50', '--length', '250m']).ended
    expect(code).toBe(0)
    expect(stdout).toMatch(/^250 m of C081-50, 250\.55 m cut: PD-500 is the cheapest of 5 that fit/)
    expect(stdout).toContain('Second opinion: The footage formula says 553.2 m')
    expect(stdout).toContain('Its barrel of 160 mm is below the 170 mm that C081-50 may be wound on.')
  })

  it('prints the list for machines', async () => {
    const args = ['--cable', 'C081-50', '--length', '800ft', '--market', 'US', '--json']
    const { stdout } = await command(['putup', DEMO, ...args]).ended
    const list = JSON.parse(stdout) as Record<string, unknown>[]
    expect(list).toHaveLength(12)
    for (const one of list)
      expect(one).toEqual(
        expect.objectContaining({
          putup: expect.any(String),
          fits: expect.any(Boolean),
          capacityM: expect.any(Number),
          limitedBy: expect.any(String),
          grossKg: expect.any(Number),
          costEur: expect.any(Number),
          reason: expect.any(String),
        }),
      )
    expect(list[0]).toMatchObject({ putup: 'PD-500', fits: true, costEur: 9.8 })
    expect(list.find((c) => c.putup === 'WN-1000')).toMatchObject({ fits: false, limitedBy: 'wood' })
  })

  it('says so where nothing takes it', async () => {
    const { code, stdout } = await command(['putup', DEMO, '--cable', 'C142-50', '--length', '90000 m']).ended
    expect(stdout).toContain('no put-up of the works takes it in one piece')
    expect(code).toBe(0)
  })

  it('refuses a folder whose cable has no smallest barrel, by file, row and column', async () => {
    const rows = (await readFile(join(DEMO, 'cables.csv'), 'utf8')).split('\r\n')
    const column = rows[0]!.split(',').indexOf('barrel_min_mm')
    // texts may hold commas within quotes
    const cells = rows[1]!.replace(/"[^"]*"/g, 'text').split(',')
    cells[column] = ''
    const folder = await demoWith({ 'cables.csv': [rows[0], cells.join(','), ...rows.slice(2)].join('\r\n') })
    const { code, stdout } = await command(['putup', folder, '--cable', 'C081-50', '--length', '9m']).ended
    expect(stdout).toMatch(/^cables\.csv:2 barrel_min_mm — .+ — .+$/m)
    expect(code).toBe(2)
  })

  it.each([
    [['--cable', 'C999-50', '--length', '250m'], /no cable C999-50 in cables\.csv, which has C028-50/],
    [['--cable', '__proto__', '--length', '250m'], /no cable __proto__/],
    [['--cable', 'C081-50', '--length', '250'], /has no unit/],
    [
      ['--cable', 'C081-50', '--length', '250m', '--market', 'ZZ'],
      /no market ZZ in markets\.json, which has DE/,
    ],
    [['--cable', 'C081-50'], /--length/],
  ])('ends with 2 on %j', async (args, says) => {
    const { code, stderr } = await command(['putup', DEMO, ...args]).ended
    expect(stderr).toMatch(says)
    expect(code).toBe(2)
  })
})
