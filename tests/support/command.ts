import { type ChildProcess, spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { onTestFinished } from 'vitest'

const MAIN = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url))

export interface Ended {
  code: number | null
  stdout: string
  stderr: string
}

export interface RunningCommand {
  process: ChildProcess
  ended: Promise<Ended>
  /** Resolves with the match once standard output has one. */
  saw(pattern: RegExp): Promise<RegExpExecArray>
  sawError(pattern: RegExp): Promise<RegExpExecArray>
}

/** The built command line as a process of its own. */
export function command(args: string[], cwd?: string): RunningCommand {
  const child = spawn(process.execPath, [MAIN, ...args], { cwd, stdio: ['ignore', 'pipe', 'pipe'] })
  const text = { stdout: '', stderr: '' }
  child.stdout.on('data', (chunk) => {
    text.stdout += chunk
  })
  child.stderr.on('data', (chunk) => {
    text.stderr += chunk
  })
  const ended = new Promise<Ended>((resolve) => child.on('close', (code) => resolve({ code, ...text })))
  onTestFinished(async () => {
    if (child.exitCode === null && child.signalCode === null) child.kill('SIGKILL')
    await ended
  })
  const saw = (stream: 'stdout' | 'stderr', pattern: RegExp) =>
    new Promise<RegExpExecArray>((resolve, reject) => {
      const look = () => {
        const match = pattern.exec(text[stream])
        if (match) resolve(match)
      }
      child[stream].on('data', look)
      child.on('close', () => reject(new Error(`ended without ${pattern}:\n${text.stdout}\n${text.stderr}`)))
      look()
    })
  return {
    process: child,
    ended,
    saw: (pattern) => saw('stdout', pattern),
    sawError: (pattern) => saw('stderr', pattern),
  }
}

/** A server of its own process on a free port; answers its address. */
export async function startServer(
  dataFolder: string,
  ...more: string[]
): Promise<RunningCommand & { url: string }> {
  const running = command(['serve', ...more, '--port', '0', '--data', dataFolder])
  const [, url = ''] = await running.saw(/(http:\/\/127\.0\.0\.1:\d+\/)/)
  return { ...running, url }
}
