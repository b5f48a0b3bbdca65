import { spawn } from 'node:child_process'
import { existsSync, realpathSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

export const ROOT = fileURLToPath(new URL('../../', import.meta.url))

/** Runs a program in the project folder; resolves to its exit code and, where asked for, what it wrote. */
export function run(command, args, { env = process.env, stdio = 'inherit', cwd = ROOT } = {}) {
  return new Promise((resolve) => {
    const child = spawn(command, args, { cwd, env, stdio })
    let output = ''
    child.stdout?.on('data', (chunk) => (output += chunk))
    child.stderr?.on('data', (chunk) => (output += chunk))
    child.on('error', (error) => resolve({ code: 127, output: String(error.message) }))
    child.on('close', (code, signal) => resolve({ code: code ?? (signal ? 128 : 1), output }))
  })
}

/** Runs a JavaScript file with the running Node, so that no shell and no PATH is needed. */
export function runNode(args, options) {
  return run(process.execPath, args, options)
}

/** The npm that started this script, else the one beside the running Node, else the one on the PATH. */
export function npmCommand() {
  const besideNode = join(dirname(process.execPath), '..', 'lib', 'node_modules', 'npm', 'bin', 'npm-cli.js')
  const cli = [process.env.npm_execpath, besideNode].find(
    (path) => path?.endsWith('npm-cli.js') && existsSync(path),
  )
  return cli ? { command: process.execPath, prefix: [cli] } : { command: 'npm', prefix: [] }
}

/** Whether a script was started by name, rather than imported by another. */
export function isMain(moduleUrl) {
  return process.argv[1] !== undefined && realpathSync(process.argv[1]) === fileURLToPath(moduleUrl)
}

export function say(text) {
  process.stderr.write(`${text}\n`)
}

/** Ends the script with a plain message. */
export class Stop extends Error {}

/** Runs the main function of a script; what it cannot do is said in words. */
export async function main(work) {
  try {
    await work()
  } catch (error) {
    if (!(error instanceof Stop)) throw error
    say(error.message)
    process.exitCode = 1
  }
}
