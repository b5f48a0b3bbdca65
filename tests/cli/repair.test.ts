import { readdir, readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { command } from '../support/command.ts'
import { DEMO } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'

async function plannedDemo(): Promise<{ folder: string; plan: string }> {
  const folder = await emptyFolder()
  const { code } = await command(['plan', DEMO, '--out', folder, '--seconds', '2']).ended
  expect(code).toBe(0)
  return { folder, plan: join(folder, 'plan.json') }
}

describe('repair and explain', () => {
  it('mends a plan after an event and explains a line of it', async () => {
    const { folder, plan } = await plannedDemo()
    const event = join(folder, 'event.json')
    const happened = [
      { kind: 'cancel', order: '7105', line: 1 },
      { kind: 'hold', drum: 'D016' },
    ]
    await writeFile(event, JSON.stringify({ format: 'lastmetre-event', version: 1, happened }))
    const out = join(folder, 'mended')
    const run = await command(['repair', DEMO, '--plan', plan, '--event', event, '--out', out, '--json'])
      .ended
    expect(run.stderr).toBe('')
    expect(run.code).toBe(0)
    const summary = JSON.parse(run.stdout)
    expect(summary.changes.some((c: { order?: string }) => c.order === '7105')).toBe(true)
    expect(summary.boundCostEur === null || summary.boundCostEur <= summary.costEur).toBe(true)
    const files = [
      'changes.json',
      'kelderwick',
      'labels.pdf',
      'plan.csv',
      'plan.json',
      'run-sheets.pdf',
      'unserved.csv',
    ]
    expect((await readdir(out)).sort()).toEqual(files)
    const mended = JSON.parse(await readFile(join(out, 'plan.json'), 'utf8'))
    expect(mended.mountings.map((m: { drum: string }) => m.drum)).not.toContain('D016')
    expect((await command(['check', join(out, 'kelderwick')]).ended).code).toBe(0)

    const asked = ['--order', '7118', '--line', '1', '--seconds', '0.2']
    const why = await command([
      'explain',
      join(out, 'kelderwick'),
      '--plan',
      join(out, 'plan.json'),
      ...asked,
    ]).ended
    expect(why.code).toBe(0)
    expect(why.stdout).toContain('Order 7118/1: not cut.')
    expect(why.stdout).toContain('This is the difference of two plans')
  })

  it('end with 2 where what is handed in is wrong, and write nothing', async () => {
    const { folder, plan } = await plannedDemo()
    const event = join(folder, 'event.json')
    await writeFile(
      event,
      '{"format":"lastmetre-event","version":1,"happened":[{"kind":"hold","drum":"D999"}]}',
    )
    const out = join(folder, 'mended')
    const run = await command(['repair', DEMO, '--plan', plan, '--event', event, '--out', out]).ended
    expect(run.stderr).toContain('no drum D999')
    expect(run.code).toBe(2)
    expect(await readdir(folder)).not.toContain('mended')
    const none = await command(['explain', DEMO, '--plan', event, '--order', '7118', '--line', '1']).ended
    expect(none.code).toBe(2)
  })
})
