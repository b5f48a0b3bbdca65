import { existsSync, readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { Script } from 'node:vm'

/** The independent judge of plans stands beside the project, not in it. */
const REFEREE = resolve('..', 'shared', 'referee', 'referee.mjs')

/** What the referee says of a plan; figures in euro, rounded to cents. */
export interface Judgement {
  broken: { rule: string; where: string; why: string }[]
  service: { unservedEur: number; unservedPieces: number }
  costEur: number
  deliveredEur: number
  drumsMounted: number
}

class Exit extends Error {}

/**
 * The referee's own text, run within this process on files held in memory: starting a process and writing seventeen files for each plan
 * takes longer than the plan. Only its imports are replaced. null where it is not beside the project.
 */
export function refereeInProcess(): ((files: ReadonlyMap<string, string>, plan: string) => Judgement) | null {
  if (!existsSync(REFEREE)) return null
  const text = readFileSync(REFEREE, 'utf8')
    .replace(/^#!.*/, '')
    .replace(/^import .*$/gm, '')
  const script = new Script(`(function (process, console, readFileSync, existsSync, join) {${text}\n})`)
  const program = script.runInThisContext() as (...args: unknown[]) => void
  return (files, plan) => {
    const said: string[] = []
    const complaints: string[] = []
    const read = (name: string) => (name === 'plan' ? plan : files.get(name))
    const exit = () => {
      throw new Exit()
    }
    try {
      program(
        { argv: ['node', 'referee', 'works', 'plan', '--json'], exit },
        { log: (line: string) => said.push(line), error: (line: string) => complaints.push(line) },
        read,
        (name: string) => read(name) !== undefined,
        (_folder: string, name: string) => name,
      )
    } catch (error) {
      if (!(error instanceof Exit)) throw error
    }
    if (complaints.length > 0) throw new Error(complaints.join('; '))
    return JSON.parse(said.join('\n')) as Judgement
  }
}
