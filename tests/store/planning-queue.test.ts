import { spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest'
import type { PlanProgress } from '../../src/works/api.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { startPostgres, type TestPostgres } from '../support/postgres.ts'
import { until } from '../support/until.ts'

const MAIN = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url))
const LONG = 240_000

let server: TestPostgres | undefined
beforeAll(async () => {
  server = await startPostgres()
})
afterAll(() => server?.stop())

/** A process of the built program on the shared database. */
function run(databaseUrl: string, ...args: string[]) {
  const child = spawn(process.execPath, [MAIN, ...args], {
    env: { ...process.env, DATABASE_URL: databaseUrl },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  let text = ''
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve))
  onTestFinished(async () => {
    child.kill('SIGKILL')
    await ended
  })
  const saw = (pattern: RegExp) =>
    new Promise<RegExpExecArray>((resolve, reject) => {
      const look = (chunk: unknown) => {
        text += chunk
        const match = pattern.exec(text)
        if (match) resolve(match)
      }
      child.stdout.on('data', look)
      child.stderr.on('data', look)
      child.on('close', () => reject(new Error(`ended without ${pattern}: ${text}`)))
    })
  return { child, ended, saw }
}

async function startServer(databaseUrl: string, ...more: string[]) {
  const data = await emptyFolder()
  const running = run(databaseUrl, 'serve', '--port', '0', '--data', data, ...more)
  const [, url = ''] = await running.saw(/(http:\/\/127\.0\.0\.1:\d+\/)/)
  const ask = async (path: string, method = 'GET', body?: object) => {
    const headers = { 'content-type': 'application/json' }
    const answer = await fetch(`${url}api/${path}`, {
      method,
      ...(body ? { headers, body: JSON.stringify(body) } : {}),
    })
    return { status: answer.status, body: (await answer.json()) as Record<string, unknown> }
  }
  const progress = async () => (await ask('plan/progress')).body as unknown as PlanProgress
  return { ...running, ask, progress }
}

async function startWorker(databaseUrl: string) {
  const worker = run(databaseUrl, 'worker')
  await worker.saw(/Waiting for plans/)
  return worker
}

describe('plans through the queue of a real PostgreSQL', { timeout: LONG }, () => {
  it('are made by a worker of another process, are seen as they grow, and can be stopped', async () => {
    const url = (await server?.fresh()) ?? ''
    const { ask, progress } = await startServer(url, '--no-planning')
    await ask('plan', 'POST', { seconds: 600 })
    // Nobody is there yet.
    await new Promise((resolve) => setTimeout(resolve, 1_000))
    expect(await progress()).toMatchObject({ state: 'running', costEur: null })
    await startWorker(url)
    await until(progress, ({ costEur }) => costEur !== null)
    expect(await ask('plan')).toMatchObject({ status: 200, body: { planId: 1 } })
    await ask('plan/stop', 'POST')
    await until(progress, ({ state }) => state === 'done')
    expect(await ask('plan')).toMatchObject({ body: { plan: { stopped: true } } })
    // The next one ends of itself.
    await ask('plan', 'POST', { seconds: 1 })
    const end = await until(progress, ({ state }) => state === 'done' || state === 'failed')
    expect(end).toMatchObject({ state: 'done', planId: 2 })
    expect(await ask('plan')).toMatchObject({ body: { planId: 2 } })
  })

  it('show at every server whichever was asked, can be stopped at any, and outlive the one that was asked', async () => {
    const url = (await server?.fresh()) ?? ''
    const [asked, other] = [await startServer(url, '--no-planning'), await startServer(url, '--no-planning')]
    const worker = await startWorker(url)
    await asked.ask('plan', 'POST', { seconds: 600 })
    const seen = await until(other.progress, ({ costEur }) => costEur !== null)
    expect(seen).toMatchObject({ state: 'running', planId: 1, seconds: 600 })
    expect(await other.ask('plan')).toMatchObject({ status: 200, body: { planId: 1 } })
    expect(await other.ask('plan', 'POST', { seconds: 1 })).toMatchObject({
      ...{ status: 409, body: { code: 'plan-running' } },
    })
    await other.ask('plan/stop', 'POST')
    const ends = [asked, other].map(({ progress }) => until(progress, ({ state }) => state === 'done'))
    const [one, two] = await Promise.all(ends)
    expect(one!.costEur).toBe(two!.costEur)
    expect(await asked.ask('plan')).toMatchObject({ body: { planId: 1, plan: { stopped: true } } })

    await asked.ask('plan', 'POST', { seconds: 600 })
    await until(other.progress, ({ planId, costEur }) => planId === 2 && costEur !== null)
    asked.child.kill('SIGKILL')
    await asked.ended
    // one that starts now shows it as well, and ending it in good order leaves it alone
    const third = await startServer(url, '--no-planning')
    await until(third.progress, ({ state, planId }) => state === 'running' && planId === 2)
    third.child.kill('SIGTERM')
    expect(await third.ended).toBe(0)
    // it looks four times a second: what had ended with the third would show by now
    await new Promise((resolve) => setTimeout(resolve, 1_000))
    expect(await other.progress()).toMatchObject({ state: 'running', planId: 2 })
    // nobody is left who could answer but the worker
    await other.ask('plan/stop', 'POST')
    await until(other.progress, ({ state }) => state === 'done')
    expect(await other.ask('plan')).toMatchObject({ body: { planId: 2, plan: { stopped: true } } })
    worker.child.kill('SIGTERM')
    expect(await worker.ended).toBe(0)
  })

  it('go to another worker where the first is killed', async () => {
    const url = (await server?.fresh()) ?? ''
    const { ask, progress } = await startServer(url, '--no-planning')
    const first = await startWorker(url)
    await ask('plan', 'POST', { seconds: 3 })
    await until(progress, ({ phase, costEur }) => phase !== null && costEur !== null)
    first.child.kill('SIGKILL')
    await first.ended
    await startWorker(url)
    const end = await until(progress, ({ state }) => state === 'done' || state === 'failed')
    expect(end).toMatchObject({ state: 'done', planId: 1 })
  })

  it('go to another worker where the first is ended in good order', async () => {
    const url = (await server?.fresh()) ?? ''
    const { ask, progress } = await startServer(url, '--no-planning')
    const first = await startWorker(url)
    await ask('plan', 'POST', { seconds: 3 })
    await until(progress, ({ costEur }) => costEur !== null)
    first.child.kill('SIGTERM')
    expect(await first.ended).toBe(0)
    expect(await progress()).toMatchObject({ state: 'running' })
    await startWorker(url)
    expect(await until(progress, ({ state }) => state !== 'running')).toMatchObject({ state: 'done' })
  })

  it('are made by the server itself where no other worker is there, and end with it when none took them', async () => {
    const url = (await server?.fresh()) ?? ''
    const alone = await startServer(url)
    await alone.ask('plan', 'POST', { seconds: 1 })
    expect(await until(alone.progress, ({ state }) => state !== 'running')).toMatchObject({ state: 'done' })
    const idle = await startServer(url, '--no-planning')
    alone.child.kill('SIGTERM')
    expect(await alone.ended).toBe(0)
    await idle.ask('plan', 'POST', { seconds: 1 })
    idle.child.kill('SIGTERM')
    expect(await idle.ended).toBe(0)
    const next = await startServer(url, '--no-planning')
    expect(await next.progress()).toMatchObject({ state: 'idle', planId: 2 })
    expect(await next.ask('plan')).toMatchObject({ body: { planId: 1 } })
  })
})
