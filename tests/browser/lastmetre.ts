import { spawn } from 'node:child_process'
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { test as base } from '@playwright/test'

const MAIN = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url))
const DEMO = fileURLToPath(new URL('../../demo/kelderwick', import.meta.url))

/** Starts the built server on a free port, with the demo open and a data folder of its own. */
function startServer(dataFolder: string): { address: Promise<string>; end: () => Promise<void> } {
  const child = spawn(process.execPath, [MAIN, 'serve', '--port', '0', '--data', dataFolder])
  const exited = new Promise<void>((resolve) => child.once('exit', () => resolve()))
  let printed = ''
  const address = new Promise<string>((resolve, reject) => {
    const read = (chunk: Buffer) => {
      printed += chunk.toString()
      const match = /http:\/\/127\.0\.0\.1:\d+/.exec(printed)
      if (match) resolve(match[0])
    }
    child.stdout.on('data', read)
    child.stderr.on('data', read)
    child.once('exit', (code) => reject(new Error(`The server ended with ${code}: ${printed}`)))
  })
  return {
    address,
    async end() {
      child.kill('SIGTERM')
      await exited
    },
  }
}

interface Lastmetre {
  /** Address of a server of this test alone; `end` stops it. */
  server: { url: string; end: () => Promise<void> }
  /** A copy of the demo works in which a test may change files. */
  worksCopy: { folder: string; change: (file: string, edit: (text: string) => string) => void }
}

export const test = base.extend<Lastmetre>({
  // biome-ignore lint/correctness/noEmptyPattern: the form that playwright asks for
  server: async ({}, use) => {
    const dataFolder = mkdtempSync(join(tmpdir(), 'lastmetre-browser-'))
    const server = startServer(dataFolder)
    try {
      await use({ url: await server.address, end: server.end })
    } finally {
      await server.end()
      rmSync(dataFolder, { recursive: true, force: true })
    }
  },
  baseURL: async ({ server }, use) => use(server.url),
  // biome-ignore lint/correctness/noEmptyPattern: the form that playwright asks for
  worksCopy: async ({}, use) => {
    const parent = mkdtempSync(join(tmpdir(), 'lastmetre-works-'))
    const folder = join(parent, 'other-works')
    cpSync(DEMO, folder, { recursive: true })
    const change = (file: string, edit: (text: string) => string) => {
      const path = join(folder, file)
      writeFileSync(path, edit(readFileSync(path, 'utf8')))
    }
    await use({ folder, change })
    rmSync(parent, { recursive: true, force: true })
  },
})
