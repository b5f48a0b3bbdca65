import { existsSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { build } from './build.mjs'
import { main, runNode, Stop } from './lib/run.mjs'
import { setup } from './setup.mjs'

/** `npm run bench:classic -- <files>`: compiles bench/ and solves classical cutting-stock files; a .csv among them names best values. */
await main(async () => {
  // npm starts scripts in the project folder; paths are meant from where the command was typed
  const files = process.argv.slice(2).map((file) => resolve(process.env.INIT_CWD ?? '.', file))
  if (files.length === 0) throw new Stop('Which files? See bench/README.md for the formats.')
  const missing = files.find((file) => !existsSync(file))
  if (missing !== undefined) throw new Stop(`There is no ${missing}.`)
  await setup()
  await build()
  const { code } = await runNode(['node_modules/typescript/bin/tsc', '-p', 'tsconfig.bench.json'])
  if (code !== 0) throw new Stop('bench/ could not be compiled; the reason stands above.')
  const compiled = join('dist', 'bench-build', 'bench', 'classic-bench.js')
  const result = await runNode(['--expose-gc', compiled, ...files])
  if (result.code !== 0) process.exitCode = 1
})
