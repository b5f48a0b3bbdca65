import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { parseWorks } from '../../src/works/parse-works.ts'
import { applyEdit, type Edit } from './breach-edit.ts'
import { kelderwickFiles } from './kelderwick-files.ts'

/** Each file of tests/breaches breaks one sentence of the works folder contract, which it quotes in `says`. */
interface Breach {
  says: string
  edits: Edit[]
  /** Every problem that is reported, and no other. */
  expect: { file: string; row: number | null; column: string | null; wrong: string }[]
}

const FOLDER = new URL('../breaches/', import.meta.url)
const NAMES = readdirSync(FOLDER).filter((name) => name.endsWith('.json'))

describe('one breach each refuses the demo works', () => {
  test.each(NAMES)('%s', (name) => {
    const breach = JSON.parse(readFileSync(new URL(name, FOLDER), 'utf8')) as Breach
    const files = kelderwickFiles()
    for (const edit of breach.edits) applyEdit(files, edit)
    const result = parseWorks('kelderwick', files)
    if (result.ok) throw new Error(`accepted: ${breach.says}`)
    const found = result.problems.map(({ file, row, column }) => ({ file, row, column }))
    expect(found, JSON.stringify(result.problems.slice(0, 5))).toEqual(
      breach.expect.map(({ file, row, column }) => ({ file, row, column })),
    )
    for (const [i, { wrong }] of breach.expect.entries()) expect(result.problems[i]?.wrong).toContain(wrong)
    for (const problem of result.problems) expect(problem.right).not.toBe('')
    expect(result.more).toBe(0)
  })
})
