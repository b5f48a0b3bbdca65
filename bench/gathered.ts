import { spawn } from 'node:child_process'
import { createInterface } from 'node:readline'

/**
 * Runs a bench file once for each list of arguments, all at the same time, and gathers what they print, a line of JSON each.
 * Stopped by Ctrl-C it answers what there is. Throws where fewer than `count` came and nobody stopped it.
 */
export async function gathered<T>(
  file: string,
  runs: string[][],
  count: number,
  came: (so: number) => void = () => undefined,
): Promise<T[]> {
  const all: T[] = []
  const children = runs.map((args) =>
    spawn(process.execPath, [file, ...args], { stdio: ['ignore', 'pipe', 'inherit'] }),
  )
  let stopped = false
  process.on('SIGINT', () => {
    stopped = true
    for (const child of children) child.kill('SIGKILL')
  })
  const reading = children.map(async (child) => {
    for await (const line of createInterface({ input: child.stdout })) came(all.push(JSON.parse(line) as T))
  })
  await Promise.all(reading)
  if (all.length < count && !stopped) throw new Error('a process died')
  return all
}
