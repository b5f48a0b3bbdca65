import { X509Certificate } from 'node:crypto'
import { readFile, stat, writeFile } from 'node:fs/promises'
import { createServer, request } from 'node:https'
import type { AddressInfo } from 'node:net'
import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { issueServer } from '../../src/server/tls-certificate.ts'
import { makeCertificates, readTls } from '../../src/server/tls-folder.ts'
import { emptyFolder } from '../support/empty-folder.ts'

const HALL = { names: ['hall.local'], addresses: ['192.168.1.20'] }

/** What OpenSSL, as node has it, says when a client that trusts `ca` calls a server by this name. */
async function called(tls: { key: string; cert: string }, ca: string, name: string): Promise<string> {
  const server = createServer(tls, (_request, answer) => answer.end('here'))
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  onTestFinished(() => void server.close())
  const { port } = server.address() as AddressInfo
  return new Promise((resolve) => {
    // `host` is what the certificate is held against; the connection itself goes to loopback.
    const asked = request(
      {
        host: name,
        servername: /^[\d.]+$/.test(name) ? '' : name,
        port,
        ca,
        agent: false,
        lookup: (_host, _options, found) => found(null, [{ address: '127.0.0.1', family: 4 }] as never),
      },
      (answer) => {
        answer.resume()
        answer.on('end', () => resolve('trusted'))
      },
    )
    asked.on('error', (error: Error & { code?: string }) => resolve(`${error.code}: ${error.message}`))
    asked.end()
  })
}

describe('certificates of an authority of the hall', () => {
  it('are trusted under their names by who trusts the authority, and under no other name', async () => {
    const folder = await emptyFolder()
    await makeCertificates(folder, HALL)
    const tls = await readTls(folder)
    expect(tls.hosts).toEqual(['hall.local', '192.168.1.20', 'localhost', '127.0.0.1', '0:0:0:0:0:0:0:1'])
    expect(await called(tls, tls.authority, 'hall.local')).toBe('trusted')
    expect(await called(tls, tls.authority, '127.0.0.1')).toBe('trusted')
    expect(await called(tls, tls.authority, 'other.local')).toContain('ERR_TLS_CERT_ALTNAME_INVALID')
    const stranger = await emptyFolder()
    await makeCertificates(stranger, HALL)
    const other = await readTls(stranger)
    expect(await called(tls, other.authority, 'hall.local')).not.toBe('trusted')
  })

  it('of a stolen authority key are worth nothing for names of others', async () => {
    const folder = await emptyFolder()
    await makeCertificates(folder, HALL)
    const [key, ca, names] = await Promise.all(
      ['authority.key', 'authority.crt', 'authority.json'].map((file) =>
        readFile(join(folder, file), 'utf8'),
      ),
    )
    const { name } = JSON.parse(names!) as { name: string }
    const validity = { from: new Date(Date.now() - 1_000), until: new Date(Date.now() + 86_400_000) }
    const forged = issueServer({ key: key!, name }, ['bank.example'], validity)
    const tls = { key: forged.key, cert: forged.certificate + ca }
    expect(await called(tls, ca!, 'bank.example')).toContain('permitted subtree violation')
    const own = issueServer({ key: key!, name }, ['press.hall.local'], validity)
    expect(await called({ key: own.key, cert: own.certificate }, ca!, 'press.hall.local')).toBe('trusted')
  })

  it('are renewed by the same command while the authority stays', async () => {
    const folder = await emptyFolder()
    const first = await makeCertificates(folder, HALL)
    const key = await readFile(join(folder, 'server.key'), 'utf8')
    const second = await makeCertificates(folder, { ...HALL, addresses: ['10.0.0.7'] })
    expect([first.newAuthority, second.newAuthority]).toEqual([true, false])
    expect(second.fingerprint).toBe(first.fingerprint)
    expect(await readFile(join(folder, 'server.key'), 'utf8')).not.toBe(key)
    const tls = await readTls(folder)
    expect(await called(tls, tls.authority, 'hall.local')).toBe('trusted')
  })

  it('hold as long as browsers take them, the authority ten years, and keys are the owner’s alone', async () => {
    const folder = await emptyFolder()
    await makeCertificates(folder, HALL, new Date('2031-03-03T08:00:00Z'))
    const server = new X509Certificate(await readFile(join(folder, 'server.crt')))
    const authority = new X509Certificate(await readFile(join(folder, 'authority.crt')))
    const daysOf = (c: X509Certificate) => (Date.parse(c.validTo) - Date.parse(c.validFrom)) / 86_400_000
    // Apple, "Requirements for trusted certificates in iOS 13" and the 398 days since 2020; from memory.
    expect(daysOf(server)).toBe(397)
    expect(daysOf(authority)).toBeCloseTo(3_652, 0)
    expect(authority.ca).toBe(true)
    expect(server.ca).toBe(false)
    expect(server.checkIssued(authority)).toBe(true)
    expect(server.verify(authority.publicKey)).toBe(true)
    for (const file of ['server.key', 'authority.key'])
      expect((await stat(join(folder, file))).mode & 0o777).toBe(0o600)
    await expect(readTls(folder, new Date('2032-04-04T08:00:00Z'))).rejects.toMatchObject({
      code: 'tls-missing',
    })
    expect((await readTls(folder, new Date('2032-03-20T08:00:00Z'))).warning).toContain(
      'runs out on 2032-04-02',
    )
  })

  it('of a date beyond 2049 are read as they are meant', async () => {
    const folder = await emptyFolder()
    await makeCertificates(folder, HALL, new Date('2045-06-01T00:00:00Z'))
    const authority = new X509Certificate(await readFile(join(folder, 'authority.crt')))
    expect(new Date(authority.validTo).toISOString().slice(0, 4)).toBe('2055')
  })

  it.each([
    [{ names: ['hall local'], addresses: [] }, 'no name'],
    [{ names: [], addresses: ['192.168.1'] }, 'no address'],
    [{ names: [], addresses: [] }, 'names and addresses'],
    [{ names: ['192.168.1.20'], addresses: [] }, 'no name'],
  ])('refuses %j', async (hosts, words) => {
    await expect(makeCertificates(await emptyFolder(), hosts)).rejects.toMatchObject({
      code: 'figure-refused',
      message: expect.stringContaining(words),
    })
  })

  it('for a name beyond the authority are refused before anything is written', async () => {
    const folder = await emptyFolder()
    await makeCertificates(folder, HALL)
    const before = await readFile(join(folder, 'server.crt'), 'utf8')
    await expect(makeCertificates(folder, { names: ['store.local'], addresses: [] })).rejects.toMatchObject({
      code: 'figure-refused',
    })
    expect(await readFile(join(folder, 'server.crt'), 'utf8')).toBe(before)
  })

  it('that cannot be read are said so', async () => {
    const folder = await emptyFolder()
    await writeFile(join(folder, 'server.key'), '')
    await expect(readTls(folder)).rejects.toMatchObject({ code: 'tls-missing' })
  })
})
