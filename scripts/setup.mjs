import { createHash } from 'node:crypto'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { isMain, main, npmCommand, ROOT, run, runNode, Stop, say } from './lib/run.mjs'

const LEAST_NODE = [20, 12]
const STAMP = join(ROOT, 'node_modules', '.lastmetre-stamp')
const BETTER_SQLITE3 = join(ROOT, 'node_modules', 'better-sqlite3')

/**
 * Installs what is missing: the packages of the lockfile (those of development too, whatever NODE_ENV says) and
 * the database library, built for the running Node. Does nothing where the stamp of the last time still holds.
 */
export async function setup() {
  checkNode()
  const wanted = {
    lock: createHash('sha256')
      .update(readFileSync(join(ROOT, 'package-lock.json')))
      .digest('hex'),
    node: `${process.platform}-${process.arch}-${process.versions.modules}`,
  }
  const had = readStamp()
  if (had.lock === wanted.lock && had.node === wanted.node) return
  if (had.lock !== wanted.lock) {
    await installPackages()
    writeStamp({ lock: wanted.lock })
  }
  await buildDatabaseLibrary()
  writeStamp(wanted)
}

function checkNode() {
  const [major, minor] = process.versions.node.split('.').map(Number)
  if (major > LEAST_NODE[0] || (major === LEAST_NODE[0] && minor >= LEAST_NODE[1])) return
  throw new Stop(`Lastmetre needs Node ${LEAST_NODE.join('.')} or newer; this is ${process.versions.node}.`)
}

function writeStamp(stamp) {
  writeFileSync(STAMP, `${JSON.stringify(stamp)}\n`)
}

function readStamp() {
  try {
    return JSON.parse(readFileSync(STAMP, 'utf8'))
  } catch {
    return {}
  }
}

/** npm passes settings to what it starts by the environment; those that would leave packages out are dropped. */
function cleanEnv(more = {}) {
  const env = { ...process.env, ...more }
  for (const name of Object.keys(env)) {
    if (
      /^(NODE_ENV|npm_config_(omit|include|only|production|dev|also|dry_run|global|ignore_scripts|prefix|package_lock))$/i.test(
        name,
      )
    ) {
      delete env[name]
    }
  }
  return env
}

async function npm(args, env, stdio) {
  const { command, prefix } = npmCommand()
  return run(command, [...prefix, ...args], { env, stdio })
}

async function installPackages() {
  say('Installing packages (half a minute or so, once) ...')
  const args = ['ci', '--include=dev', '--ignore-scripts', '--no-audit', '--no-fund', '--loglevel=error']
  // What npm prints goes to standard error: standard output may belong to a command that waits for this.
  const { code } = await npm(args, cleanEnv(), ['ignore', 2, 2])
  if (code !== 0)
    throw new Stop('The packages could not be installed; npm says why above. Mend that and start again.')
}

/** No prebuilt library is fetched where the headers of the running Node are at hand: it is built here. */
async function buildDatabaseLibrary() {
  if (await databaseLoads()) return
  say('Building the database library for this Node (a minute or two, once) ...')
  const prefix = join(dirname(process.execPath), '..')
  const hasHeaders = existsSync(join(prefix, 'include', 'node', 'node.h'))
  const env = cleanEnv({
    JOBS: 'max',
    ...(hasHeaders ? { npm_config_nodedir: prefix, npm_config_build_from_source: 'true' } : {}),
  })
  const rebuilt = await npm(
    ['rebuild', 'better-sqlite3', '--foreground-scripts', '--loglevel=error'],
    env,
    'pipe',
  )
  if (await databaseLoads()) return
  // An npm that does not run install scripts unasked: the compiler driver that it ships does the same.
  const gyp = await runNodeGyp(env)
  if (await databaseLoads()) return
  say(`${rebuilt.output}\n${gyp.output}`.split('\n').slice(-40).join('\n'))
  throw new Stop(
    [
      'The database library (better-sqlite3) could not be built; what the compiler said stands above.',
      'It needs a C++ compiler, make and Python 3:',
      '  Debian, Ubuntu:  apt-get install build-essential python3',
      '  Fedora:          dnf install gcc-c++ make python3',
      '  macOS:           xcode-select --install',
      'Then start again; what is installed already stays.',
    ].join('\n'),
  )
}

async function runNodeGyp(env) {
  const { prefix } = npmCommand()
  const gyp = prefix[0] && join(dirname(prefix[0]), '..', 'node_modules', 'node-gyp', 'bin', 'node-gyp.js')
  if (!gyp || !existsSync(gyp)) return { code: 1, output: '' }
  return runNode([gyp, 'rebuild', '--release'], { env, stdio: 'pipe', cwd: BETTER_SQLITE3 })
}

async function databaseLoads() {
  const probe = "new (require('better-sqlite3'))(':memory:').exec('select 1')"
  return (await runNode(['-e', probe], { stdio: 'ignore' })).code === 0
}

if (isMain(import.meta.url)) await main(setup)
