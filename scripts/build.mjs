import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { isMain, main, ROOT, runNode, Stop, say } from './lib/run.mjs'
import { setup } from './setup.mjs'

const STAMP = join(ROOT, 'dist', '.lastmetre-stamp')
const SCREENS = 'src/web'

/** Two halves that are built apart, each where its sources differ from those of the last time. */
const HALVES = [
  {
    name: 'program',
    sources: ['src', 'tsconfig.json', 'tsconfig.build.json', 'package-lock.json'],
    without: SCREENS,
    made: 'dist/cli/main.js',
    steps: [['node_modules/typescript/bin/tsc', '-p', 'tsconfig.build.json']],
  },
  {
    name: 'screens',
    sources: ['src', 'vite.config.ts', 'package-lock.json'],
    without: null,
    made: 'dist/web/index.html',
    steps: [['node_modules/vite/bin/vite.js', 'build', '--logLevel', 'warn']],
  },
]

/** Compiles the program and the screens into dist/, where they are older than their sources. */
export async function build() {
  const stamp = readStamp()
  for (const half of HALVES) {
    if (half.name === 'screens' && !existsSync(join(ROOT, SCREENS, 'index.html'))) continue
    const print = fingerprint(half)
    if (stamp[half.name] === print && existsSync(join(ROOT, half.made))) continue
    say(`Building the ${half.name} ...`)
    const env = { ...process.env, NODE_ENV: 'production' }
    for (const step of half.steps) {
      const { code } = await runNode(step, { env, stdio: ['ignore', 2, 2] })
      if (code !== 0) throw new Stop(`The ${half.name} could not be built; the reason stands above.`)
    }
    stamp[half.name] = print
    mkdirSync(join(ROOT, 'dist'), { recursive: true })
    writeFileSync(STAMP, `${JSON.stringify(stamp)}\n`)
  }
}

function readStamp() {
  try {
    return JSON.parse(readFileSync(STAMP, 'utf8'))
  } catch {
    return {}
  }
}

/** Names, sizes and times of the sources, and the version of Node. */
function fingerprint({ sources, without }) {
  const hash = createHash('sha256').update(process.versions.node)
  const add = (path) => {
    if (path === without) return
    const info = statSync(join(ROOT, path), { throwIfNoEntry: false })
    if (info === undefined) return
    if (info.isDirectory()) for (const name of readdirSync(join(ROOT, path)).sort()) add(`${path}/${name}`)
    else hash.update(`${path}\0${info.size}\0${info.mtimeMs}\0`)
  }
  for (const source of sources) add(source)
  return hash.digest('hex')
}

if (isMain(import.meta.url)) {
  await main(async () => {
    await setup()
    await build()
  })
}
