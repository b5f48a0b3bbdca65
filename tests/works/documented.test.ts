import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { type Column, Refusal } from '../../src/works/column.ts'
import { COLUMNS } from '../../src/works/works-tables.ts'

/** The contract in words: a heading for each file, a table with a line for each column. */
const DOC = readFileSync(new URL('../../docs/works-folder.md', import.meta.url), 'utf8')

test.each(Object.entries(COLUMNS))(
  'docs/works-folder.md and the reader have the same columns: %s',
  (file, columns) => {
    const section = DOC.split(`\n## ${file}\n`)[1]?.split('\n## ')[0] ?? ''
    const documented = [...section.matchAll(/^\|(\w+)\|(.+?)\|(required|may be empty)\|/gm)].map(
      ([, name, type, value]) => ({
        name,
        optional: value === 'may be empty',
        refersTo: /^id in ([a-z_]+\.(?:csv|json))/.exec(type!)?.[1] ?? null,
      }),
    )
    const read = (Object.values(columns) as Column<unknown>[]).map(({ name, empty, refersTo }) => ({
      name,
      optional: empty === null,
      refersTo,
    }))
    expect(read).toEqual(documented)
  },
)

/** Cells that a type of the contract takes and refuses; phase_deg is a number that its own line limits to 0..360. */
const SAMPLES: [type: string, takes: string[], refuses: string[]][] = [
  ['number > 0', ['1'], ['0', '-1', 'x']],
  ['number >= 0', ['0', '1'], ['-1', 'x']],
  ['number', ['0', '1'], ['x']],
  ['whole number > 0', ['1'], ['0', '1.5', '-1']],
  ['whole number >= 0', ['0', '1'], ['1.5', '-1']],
  ['id', ['A-1'], ['a b', '../a']],
  ['text', ['a b'], ['=1', '@a', '+a']],
  ['date', ['2032-02-29'], ['2031-02-29', '1.2.2031']],
  ['month YYYY-MM', ['2031-12'], ['2031-13', '2031-1']],
  ['yes, no', ['yes', 'no'], ['ja', 'Yes']],
]

test('each column takes and refuses what its type in docs/works-folder.md says', () => {
  let tried = 0
  for (const [file, columns] of Object.entries(COLUMNS)) {
    const section = DOC.split(`\n## ${file}\n`)[1]?.split('\n## ')[0] ?? ''
    for (const column of Object.values(columns) as Column<unknown>[]) {
      const type =
        new RegExp(`^\\|${column.name}\\|(.+?)\\|(?:required|may be empty)\\|`, 'm').exec(section)?.[1] ?? ''
      const allowed = [...type.matchAll(/`(\w+)`/g)].map(([, value]) => value!)
      const sample = SAMPLES.find(([name]) => name === type.replace(/^id in .*/, 'id'))
      for (const cell of sample?.[1] ?? allowed)
        expect([column.name, cell, column.read(cell) instanceof Refusal]).toEqual([column.name, cell, false])
      for (const cell of sample?.[2] ?? ['none of these'])
        expect([column.name, cell, column.read(cell) instanceof Refusal]).toEqual([column.name, cell, true])
      tried += sample || allowed.length > 0 ? 1 : 0
    }
  }
  expect(tried).toBe(Object.values(COLUMNS).reduce((sum, columns) => sum + Object.keys(columns).length, 0))
})
