import { X509Certificate } from 'node:crypto'
import { readFile, stat, writeFile } from 'node:fs/promises'
import { request } from 'node:https'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { command } from '../support/command.ts'
import { emptyFolder } from '../support/empty-folder.ts'

async function pinFile(pin: string): Promise<string> {
  const path = join(await emptyFolder(), 'pin')
  await writeFile(path, `${pin}\n`)
  return path
}

describe('off this machine', () => {
  it('nothing is served without TLS unless asked for, nor before there is an owner', async () => {
    const data = await emptyFolder()
    const off = ['serve', '--host', '0.0.0.0', '--port', '0', '--data', data]
    const bare = await command(off).ended
    expect(bare.code).toBe(2)
    expect(bare.stderr).toContain('in the open')
    const tls = join(await emptyFolder(), 'tls')
    const made = await command(['certificates', 'make', '--address', '192.168.1.20', '--out', tls]).ended
    expect(made.code).toBe(0)
    expect((await stat(join(tls, 'trust-sheet.pdf'))).size).toBeGreaterThan(1_000)
    for (const how of [['--plain-http'], ['--tls', tls]]) {
      const refused = await command([...off, ...how]).ended
      expect(refused.code).toBe(2)
      expect(refused.stderr).toContain('before there is an owner')
      expect(refused.stdout).not.toContain('Lastmetre is at')
    }
  })

  it('it is served once there is one, and says what plain http gives away', async () => {
    const data = await emptyFolder()
    const owner = ['owner', 'add', '--badge', 'K-01', '--name', 'A. Owner', '--data', data]
    expect((await command([...owner, '--pin-file', await pinFile('402917')]).ended).code).toBe(0)
    const off = ['serve', '--host', '0.0.0.0', '--port', '0', '--data', data, '--plain-http']
    const running = command(off)
    const [, url] = await running.saw(/Lastmetre is at (http:\/\/127\.0\.0\.1:\d+\/)/)
    expect((await fetch(`${url}api/works`)).status).toBe(401)
    running.process.kill('SIGTERM')
    expect((await running.ended).stderr).toContain('can read PINs')
  })
})

/** Asks over TLS, trusting this authority alone. */
function askTls(
  url: string,
  ca: string,
  body: object | null,
): Promise<{ status: number; cookie: string; text: string }> {
  return new Promise((resolve, reject) => {
    const headers = body === null ? {} : { 'content-type': 'application/json' }
    const asked = request(
      url,
      { ca, agent: false, method: body === null ? 'GET' : 'POST', headers },
      (answer) => {
        let text = ''
        answer.on('data', (chunk) => {
          text += chunk
        })
        const cookie = answer.headers['set-cookie']?.join() ?? ''
        answer.on('end', () => resolve({ status: answer.statusCode ?? 0, cookie, text }))
      },
    )
    asked.on('error', reject)
    asked.end(body === null ? undefined : JSON.stringify(body))
  })
}

it('over TLS the session is for this host and this way only, and the page for tablets gives out the authority alone', async () => {
  const [data, tls] = [await emptyFolder(), join(await emptyFolder(), 'tls')]
  const owner = ['owner', 'add', '--badge', 'K-01', '--name', 'A. Owner', '--data', data]
  await command([...owner, '--pin-file', await pinFile('402917')]).ended
  await command(['certificates', 'make', '--name', 'hall.local', '--out', tls]).ended
  const running = command(['serve', '--port', '0', '--data', data, '--tls', tls, '--trust-page', '0'])
  const [, url = ''] = await running.saw(/Lastmetre is at (https:\S+)/)
  const [, page = ''] = await running.saw(/trust it at \S+:(\d+)/)
  const ca = await readFile(join(tls, 'authority.crt'), 'utf8')
  expect(await askTls(`${url}api/works`, ca, null)).toMatchObject({ status: 401 })
  const signedIn = await askTls(`${url}api/sign-in`, ca, { badge: 'K-01', pin: '402917' })
  expect(signedIn.cookie).toMatch(
    /^__Host-lastmetre-session=[\w-]{43}; Path=\/; HttpOnly; Secure; SameSite=Strict$/,
  )
  expect(JSON.parse(signedIn.text)).toMatchObject({ account: 'K-01', role: 'owner', readable: false })
  const given = await fetch(`http://127.0.0.1:${page}/authority.crt`)
  expect(await given.text()).toBe(ca)
  expect(await (await fetch(`http://127.0.0.1:${page}/`)).text()).toContain(
    new X509Certificate(ca).fingerprint256,
  )
  for (const path of ['api/works', 'authority.key', '../authority.key', 'server.key'])
    expect((await fetch(`http://127.0.0.1:${page}/${path}`)).status).toBe(404)
})

describe('accounts on the command line', () => {
  it('are made, listed and closed; the last owner is not', async () => {
    const data = ['--data', await emptyFolder()]
    const owner = (badge: string, pin: string) => [
      'owner',
      'add',
      '--badge',
      badge,
      '--name',
      'A. O.',
      '--pin-file',
      pin,
    ]
    const weak = await command([...owner('K-01', await pinFile('123456')), ...data]).ended
    expect(weak).toMatchObject({ code: 2, stderr: expect.stringContaining('guessed first') })
    const good = await pinFile('402917')
    for (const badge of ['K-01', 'K-02'])
      expect((await command([...owner(badge, good), ...data]).ended).code).toBe(0)
    expect((await command(['accounts', 'close', 'K-02', ...data]).ended).code).toBe(0)
    const last = await command(['accounts', 'close', 'K-01', ...data]).ended
    expect(last).toMatchObject({ code: 2, stderr: expect.stringContaining('last owner') })
    const { stdout } = await command(['accounts', 'list', '--json', ...data]).ended
    const closed = (JSON.parse(stdout) as { account: string; closed: boolean }[]).map((a) => [
      a.account,
      a.closed,
    ])
    expect(closed).toEqual([
      ['K-01', false],
      ['K-02', true],
    ])
    expect(stdout).not.toMatch(/scrypt|402917/)
  })
})
