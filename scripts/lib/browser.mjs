import { accessSync, constants, statSync } from 'node:fs'
import { delimiter, join } from 'node:path'
import { run, Stop, say } from './run.mjs'

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome']

/**
 * A browser for the tests that starts here: the one of CHROMIUM_PATH, one on the PATH, the one in a registry
 * package, or, where this is root on Debian, Debian's.
 */
export async function findBrowser() {
  const named = process.env.CHROMIUM_PATH
  if (named) {
    if (await starts(named)) return named
    throw new Stop(`CHROMIUM_PATH names ${named}, which does not start.`)
  }
  return (await onPath()) ?? (await fromPackage()) ?? (await fromDebian()) ?? noBrowser()
}

function noBrowser() {
  throw new Stop(
    'No browser for the tests: install Chromium (Debian: apt-get install chromium) or set CHROMIUM_PATH to one.',
  )
}

async function onPath() {
  for (const folder of (process.env.PATH ?? '').split(delimiter).filter(Boolean)) {
    for (const name of NAMES) {
      const path = join(folder, name)
      if (isProgram(path) && (await starts(path))) return path
    }
  }
  return null
}

async function fromPackage() {
  try {
    const { default: chromium } = await import('@sparticuz/chromium')
    const path = await chromium.executablePath()
    if (await starts(path)) return path
    say('The browser of the registry package does not start here.')
  } catch (error) {
    say(`The browser of the registry package cannot be used: ${error.message}`)
  }
  return null
}

async function fromDebian() {
  if (process.getuid?.() !== 0) return null
  say('Installing a browser for the tests (once) ...')
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' }
  for (const args of [['update'], ['install', '-y', '--no-install-recommends', 'chromium']]) {
    const { code } = await run('apt-get', args, { env, stdio: ['ignore', 2, 2] })
    if (code !== 0) return null
  }
  return onPath()
}

function isProgram(path) {
  try {
    accessSync(path, constants.X_OK)
    return statSync(path).isFile()
  } catch {
    return false
  }
}

/** Opens an empty page as the tests will: a browser that lacks a library of the system still answers --version. */
async function starts(executablePath) {
  const { chromium } = await import('@playwright/test')
  try {
    const browser = await chromium.launch({ executablePath, args: ['--no-sandbox'], timeout: 30_000 })
    await (await browser.newPage()).goto('about:blank')
    await browser.close()
    return true
  } catch {
    return false
  }
}
