import { existsSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { build } from './build.mjs'
import { main, ROOT, runNode, Stop } from './lib/run.mjs'
import { setup } from './setup.mjs'

/** `npm run bench [-- name [number ...] ...]`: compiles bench/ and runs every *-bench.ts of it, or those that are named, with the numbers after a name as its arguments. */
await main(async () => {
  await setup()
  await build()
  const { code } = await runNode(['node_modules/typescript/bin/tsc', '-p', 'tsconfig.bench.json'])
  if (code !== 0) throw new Stop('bench/ could not be compiled; the reason stands above.')
  const all = readdirSync(join(ROOT, 'bench')).filter((file) => file.endsWith('-bench.ts'))
  const [, , ...asked] = process.argv
  const isNumber = (word) => /^\d+$/.test(word)
  const files =
    asked.length === 0
      ? all.map((file) => ({ file, numbers: [] }))
      : asked.flatMap((name, at) => {
          if (isNumber(name)) return []
          const after = asked.slice(at + 1)
          const end = after.findIndex((word) => !isNumber(word))
          const numbers = end < 0 ? after : after.slice(0, end)
          return [{ file: `${name.replace(/(-bench)?(\.ts)?$/, '')}-bench.ts`, numbers }]
        })
  for (const { file, numbers } of files) {
    if (!existsSync(join(ROOT, 'bench', file)))
      throw new Stop(`There is no bench/${file}; there are ${all.join(', ')}.`)
    const compiled = join('dist', 'bench-build', 'bench', file.replace(/\.ts$/, '.js'))
    const result = await runNode(['--expose-gc', compiled, ...numbers])
    if (result.code !== 0) process.exitCode = 1
  }
})
