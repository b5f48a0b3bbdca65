import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { build } from './build.mjs'
import { findBrowser } from './lib/browser.mjs'
import { closingLine, runStaticChecks } from './lib/checks.mjs'
import { main, ROOT, runNode } from './lib/run.mjs'
import { setup } from './setup.mjs'

/** `npm test`: all set-up, then every check and test; the last line counts what passed and what failed. */
await main(async () => {
  const total = { passed: 0, failed: 0 }
  const add = ({ passed, failed }) => {
    total.passed += passed
    total.failed += failed
  }
  try {
    await setup()
    await build()
    add(await runStaticChecks())
    add(await withReport(runVitest))
    add(await withReport(runBrowserTests))
    if (!existsSync(join(ROOT, '..', 'shared', 'referee', 'referee.mjs'))) {
      process.stdout.write('skipped: agreement with the referee, since ../shared is not here\n')
    }
  } catch (error) {
    process.stdout.write(`FAILED: ${error.message}\n`)
    total.failed += 1
  }
  process.stdout.write(closingLine(total))
  process.exitCode = total.failed > 0 ? 1 : 0
})

async function withReport(work) {
  const folder = mkdtempSync(join(tmpdir(), 'lastmetre-test-'))
  try {
    return await work(join(folder, 'report.json'))
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

async function runVitest(report) {
  const args = ['run', '--reporter=default', '--reporter=json', `--outputFile.json=${report}`]
  // A NODE_ENV of the machine would have React and others leave their checks out.
  const env = { ...process.env, NODE_ENV: 'test' }
  const { code } = await runNode(['node_modules/vitest/vitest.mjs', ...args], { env })
  const result = readReport(report)
  if (result === null) return { passed: 0, failed: 1 }
  // A file that fails before its first test, or an error outside of every test, counts as one failure.
  const failed = result.numFailedTests || (code === 0 ? 0 : 1)
  return { passed: result.numPassedTests, failed }
}

async function runBrowserTests(report) {
  const env = {
    ...process.env,
    NODE_ENV: 'test',
    CHROMIUM_PATH: await findBrowser(),
    PLAYWRIGHT_JSON_OUTPUT_NAME: report,
  }
  const { code } = await runNode(['node_modules/@playwright/test/cli.js', 'test', '--reporter=list,json'], {
    env,
  })
  const stats = readReport(report)?.stats
  if (stats === undefined) return { passed: 0, failed: 1 }
  return { passed: stats.expected + stats.flaky, failed: stats.unexpected || (code === 0 ? 0 : 1) }
}

function readReport(path) {
  try {
    return JSON.parse(readFileSync(path, 'utf8'))
  } catch {
    return null
  }
}
