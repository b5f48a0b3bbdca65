import { readFile } from 'node:fs/promises'
import { describe, expect, it } from 'vitest'
import type { PlanProgress } from '../../src/works/api.ts'
import { command, startServer } from '../support/command.ts'
import { DEMO, demoWith } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { until } from '../support/until.ts'

async function get(url: string): Promise<{ status: number; body: Record<string, unknown> }> {
  const answer = await fetch(url)
  return { status: answer.status, body: (await answer.json()) as Record<string, unknown> }
}

async function plan(url: string, seconds: number): Promise<void> {
  const headers = { 'content-type': 'application/json' }
  const answer = await fetch(`${url}api/plan`, { method: 'POST', headers, body: JSON.stringify({ seconds }) })
  expect(answer.status).toBe(200)
}

describe('the server as a process', () => {
  it('keeps the best plan so far when it is killed in mid-plan', async () => {
    const data = await emptyFolder()
    const first = await startServer(data)
    await plan(first.url, 600)
    await until(
      () => get(`${first.url}api/plan`),
      ({ status }) => status === 200,
    )
    // Longer than the second within which a best plan reaches the disk.
    await new Promise((resolve) => setTimeout(resolve, 1_500))
    first.process.kill('SIGKILL')
    await first.ended

    const second = await startServer(data)
    expect(await get(`${second.url}api/plan`)).toMatchObject({
      status: 200,
      body: { planId: 1, stale: false },
    })
    const { body } = await get(`${second.url}api/plan/progress`)
    expect(body).toMatchObject({ state: 'idle', planId: 1, message: expect.stringContaining('server ended') })
    await plan(second.url, 0.5)
    await until(
      () => get(`${second.url}api/plan/progress`),
      (answer) => (answer.body as unknown as PlanProgress).state === 'done',
    )
    expect(await get(`${second.url}api/plan`)).toMatchObject({ body: { planId: 2 } })
  })

  it('stops and stores what it plans when it is told to end', async () => {
    const data = await emptyFolder()
    const first = await startServer(data)
    await plan(first.url, 600)
    await until(
      () => get(`${first.url}api/plan`),
      ({ status }) => status === 200,
    )
    first.process.kill('SIGTERM')
    expect(await first.ended).toMatchObject({ code: 0 })
    const second = await startServer(data)
    expect(await get(`${second.url}api/plan`)).toMatchObject({ body: { planId: 1, plan: { stopped: true } } })
    expect(await get(`${second.url}api/plan/progress`)).toMatchObject({
      body: { state: 'idle', message: null },
    })
  })

  it('refuses a data folder that another one uses', async () => {
    const data = await emptyFolder()
    await startServer(data)
    const second = await command(['serve', '--port', '0', '--data', data]).ended
    expect(second.code).toBe(1)
    expect(second.stderr).toContain('in use by another Lastmetre')
  })

  it('takes the next port where one is busy', async () => {
    const first = await startServer(await emptyFolder())
    const port = Number(new URL(first.url).port)
    const second = command(['serve', '--port', String(port), '--data', await emptyFolder()])
    const [, url = ''] = await second.saw(/(http:\/\/127\.0\.0\.1:\d+\/)/)
    expect(Number(new URL(url).port)).toBeGreaterThan(port)
    expect(await get(`${url}api/works`)).toMatchObject({ status: 200 })
  })

  it('answers on the loopback address only', async () => {
    const { url } = await startServer(await emptyFolder())
    expect(new URL(url).hostname).toBe('127.0.0.1')
    const other = url.replace('127.0.0.1', '127.0.0.2')
    await expect(fetch(`${other}api/works`)).rejects.toThrow()
  })

  it('opens the folder that is named, and refuses a broken one with its problems', async () => {
    const good = await startServer(
      await emptyFolder(),
      await demoWith({ 'faults.csv': await faultsHeader() }),
    )
    expect(await get(`${good.url}api/works`)).toMatchObject({ body: { counts: { faults: 0 } } })
    const broken = await demoWith({ 'faults.csv': 'fault\r\n' })
    const refused = await command(['serve', broken, '--port', '0', '--data', await emptyFolder()]).ended
    expect(refused.code).toBe(2)
    expect(refused.stdout).toContain('faults.csv')
  })
})

async function faultsHeader(): Promise<string> {
  return `${(await readFile(`${DEMO}/faults.csv`, 'utf8')).split('\r\n')[0]}\r\n`
}
