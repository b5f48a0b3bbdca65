import { readFile } from 'node:fs/promises'
import { describe, expect, it } from 'vitest'
import type { BenchAnswer } from '../../src/works/api.ts'
import { ask, demoApp, multipart } from './harness.ts'

const MEASURED = 'demo/measured/KJ31-4001.s2p'
const QUESTION = { serial: 'KJ31-4001', spec: null, instrument: null, tempC: null }

async function certificateOf(question: object, bytes: Uint8Array, name = 'KJ31-4001.s2p') {
  const app = await demoApp()
  return app.http.inject({
    ...{ method: 'POST', url: '/api/bench/certificate' },
    ...multipart({ question: JSON.stringify(question) }, [{ name, bytes }]),
  })
}

describe('the bench', () => {
  it('answers what leads are computed with', async () => {
    const { body } = await ask(await demoApp(), { url: '/api/bench' })
    const { attenuation, leadTests, version } = body as BenchAnswer
    expect(version).toBe(1)
    expect(leadTests.map((t) => t.serial)).toContain('KJ31-4001')
    expect(attenuation.length).toBeGreaterThan(0)
  })

  it('says that no works is open', async () => {
    const app = await demoApp({ open: false })
    expect(await ask(app, { url: '/api/bench' })).toMatchObject({ status: 409, body: { code: 'no-works' } })
  })

  it('draws the certificate of a measured lead', async () => {
    const answer = await certificateOf(QUESTION, await readFile(MEASURED))
    expect(answer.headers['content-type']).toBe('application/pdf')
    expect(answer.rawPayload.subarray(0, 5).toString()).toBe('%PDF-')
  })

  it.each([
    ['an unknown serial', { ...QUESTION, serial: 'NO-SUCH' }, 404, 'unknown-id'],
    ['neither serial nor parts', { ...QUESTION, serial: null }, 422, 'figure-refused'],
    ['a question with more in it', { ...QUESTION, path: '/etc/passwd' }, 400, 'bad-request'],
  ])('refuses %s', async (_, question, status, code) => {
    const answer = await certificateOf(question, await readFile(MEASURED))
    expect(answer.statusCode).toBe(status)
    expect(answer.json()).toMatchObject({ code })
  })

  it.each(['../../KJ31-4001.exe', 'KJ31-4001'])('refuses a file named %s', async (name) => {
    const answer = await certificateOf(QUESTION, await readFile(MEASURED), name)
    expect(answer.json()).toMatchObject({ code: 'measurement-refused' })
  })

  it('refuses a broken measurement with its line', async () => {
    const answer = await certificateOf(
      QUESTION,
      new TextEncoder().encode('# MHz S RI R 50\n1 0 0 nonsense\n'),
    )
    expect(answer.statusCode).toBe(422)
    expect((answer.json() as { message: string }).message).toContain('2')
  })

  it('draws the certificate of a set, and refuses one with an unknown lead', async () => {
    const app = await demoApp()
    const post = (serials: string[]) =>
      app.http.inject({
        ...{ method: 'POST', url: '/api/bench/set-certificate' },
        payload: { serials, window: 5, fMhz: 2400 },
      })
    const drawn = await post(['KJ31-4007', 'KJ31-4017'])
    expect(drawn.rawPayload.subarray(0, 5).toString()).toBe('%PDF-')
    expect((await post(['KJ31-4007', 'NO-SUCH'])).json()).toMatchObject({ code: 'unknown-id' })
  })
})
