import { spawnSync } from 'node:child_process'
import { resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { expect, it } from 'vitest'

/** As the worker runs it: plain JavaScript of the last build. */
const built = pathToFileURL(resolve('dist/solver/compile-sparingly.js')).href

it('the engine that runs here knows the figures it is given: it says so on standard error where it does not', () => {
  const script = `const { compileSparingly } = await import(${JSON.stringify(built)}); compileSparingly(); console.log('set')`
  const { stdout, stderr } = spawnSync(process.execPath, ['--input-type=module', '-e', script], {
    encoding: 'utf8',
  })
  expect(stderr).toBe('')
  expect(stdout.trim()).toBe('set')
})
