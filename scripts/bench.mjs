import { existsSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { build } from './build.mjs'
import { main, ROOT, runNode, Stop } from './lib/run.mjs'
import { setup } from './setup.mjs'

/** `npm run bench [-- name ...]`: compiles bench/ and runs every *-bench.ts of it, or those that are named. */
await main(async () => {
  await setup()
  await build()
  const { code } = await runNode(['node_modules/typescript/bin/tsc', '-p', 'tsconfig.bench.json'])
  if (code !== 0) throw new Stop('bench/ could not be compiled; the reason stands above.')
  const all = readdirSync(join(ROOT, 'bench')).filter((file) => file.endsWith('-bench.ts'))
  const [, , ...asked] = process.argv
  const files =
    asked.length === 0 ? all : asked.map((name) => `${name.replace(/(-bench)?(\.ts)?$/, '')}-bench.ts`)
  for (const file of files) {
    if (!existsSync(join(ROOT, 'bench', file)))
      throw new Stop(`There is no bench/${file}; there are ${all.join(', ')}.`)
    const compiled = join('dist', 'bench-build', 'bench', file.replace(/\.ts$/, '.js'))
    const result = await runNode(['--expose-gc', compiled])
    if (result.code !== 0) process.exitCode = 1
  }
})
