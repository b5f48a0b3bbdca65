import fc from 'fast-check'
import { expect, test } from 'vitest'
import { readJson } from '../../src/works/json-text.ts'

/** The reference is the engine's own JSON.parse (ECMA-404). */
function reference(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}

test('reads what JSON.parse reads', () => {
  fc.assert(
    fc.property(fc.json({ maxDepth: 4 }), (text) => {
      if (text.includes('__proto__')) return
      expect(JSON.stringify(readJson(text).value)).toBe(JSON.stringify(reference(text)))
    }),
  )
})

test('refuses what JSON.parse refuses', () => {
  const token = fc.constantFrom(
    '{',
    '}',
    '[',
    ']',
    ',',
    ':',
    '"a"',
    '"',
    '1',
    '01',
    '-',
    '1e',
    'true',
    'nul',
    ' ',
    '\n',
    '\\',
  )
  fc.assert(
    fc.property(fc.array(token, { maxLength: 12 }), (tokens) => {
      const text = tokens.join('')
      expect(readJson(text).value === undefined).toBe(reference(text) === undefined)
    }),
    { numRuns: 2000 },
  )
})

test.each([
  ['{"a":1\n,"b" 2}', 2, 'line 2, character 6'],
  ['{"a":[1,\n2,\n]}', 3, 'line 3, character 1'],
  ['', 1, 'line 1, character 1'],
  ['{"a":"x\ny"}', 1, 'line 1, character 8'],
  ['{"a":1} x', 1, 'line 1, character 9'],
])('says where: %j', (text, line, place) => {
  expect(readJson(text).faults).toMatchObject([{ line, wrong: expect.stringContaining(place) }])
})

test('a key that is there twice is told with its line and path', () => {
  expect(readJson('{"a":\n[{"b":1,\n"b":2}]}').faults).toMatchObject([{ line: 3, path: 'a[0].b' }])
})
