import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { worksFiles } from '../../bench/generate/works-files.ts'
import type { Plan } from '../../src/plan/plan.ts'
import { planFile } from '../../src/works/plan-file.ts'
import type { Works } from '../../src/works/works.ts'

/** The independent judge of plans stands beside the project, not in it. */
const REFEREE = resolve('..', 'shared', 'referee', 'referee.mjs')

export const refereeIsHere = existsSync(REFEREE)

if (!refereeIsHere) process.stderr.write('SKIPPED: the independent referee is not beside this project\n')

/** What the referee says of a plan; figures in euro, rounded to cents. */
export interface Judgement {
  rulesBroken: number
  broken: { rule: string; where: string; why: string }[]
  service: { unservedEur: number; unservedPieces: number }
  costEur: number
  costItems: Record<string, number>
  deliveredEur: number
  drumsMounted: number
}

/** Writes works and plan as files and has the referee read them. */
export function judge(works: Works, plan: Plan): Judgement {
  const folder = mkdtempSync(join(tmpdir(), 'lastmetre-referee-'))
  try {
    for (const [name, text] of worksFiles(works)) writeFileSync(join(folder, name), text)
    const file = join(folder, 'plan.json')
    writeFileSync(file, JSON.stringify(planFile(plan, works)))
    const run = spawnSync(process.execPath, [REFEREE, folder, file, '--json'], {
      encoding: 'utf8',
      maxBuffer: 2 ** 28,
    })
    if (run.status === 2) throw new Error(`the referee could not read: ${run.stderr}`)
    return JSON.parse(run.stdout) as Judgement
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
