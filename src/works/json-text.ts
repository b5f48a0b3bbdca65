import { shown } from './problem-list.ts'

/** Nested deeper than any file of the contract; the limit keeps a hostile file from exhausting the stack. */
const MAX_DEPTH = 32
/** Far above any file of the contract, for the same reason. */
const MAX_VALUES = 20_000

export interface JsonFault {
  line: number
  /** Path of the value, where one is concerned. */
  path: string | null
  wrong: string
  right: string
}

export interface JsonText {
  /** undefined where the text is no JSON. */
  value: unknown
  faults: JsonFault[]
}

class Stop extends Error {
  readonly at: number
  readonly right: string
  constructor(at: number, wrong: string, right: string) {
    super(wrong)
    this.at = at
    this.right = right
  }
}

interface Reader {
  text: string
  at: number
  depth: number
  values: number
  faults: JsonFault[]
  /** How far lines have been counted, so that each line end is counted once. */
  counted: { line: number; end: number }
}

/** JSON (RFC 8259) with what JSON.parse keeps to itself: the line of an error, and a key that is given twice. */
export function readJson(text: string): JsonText {
  const reader: Reader = { text, at: 0, depth: 0, values: 0, faults: [], counted: { line: 0, end: -1 } }
  try {
    skipBlanks(reader)
    const value = readValue(reader, '')
    skipBlanks(reader)
    if (reader.at < text.length)
      throw new Stop(reader.at, 'something follows the end of the JSON value', 'one value')
    return { value, faults: reader.faults }
  } catch (error) {
    if (!(error instanceof Stop)) throw error
    const line = lineOf(reader, error.at)
    const character = error.at - text.lastIndexOf('\n', error.at - 1)
    const wrong = `invalid JSON in line ${line}, character ${character}: ${error.message}`
    return { value: undefined, faults: [{ line, path: null, wrong, right: error.right }] }
  }
}

/** Line of a place that lies beyond the last one asked for. */
function lineOf({ text, counted }: Reader, at: number): number {
  while (counted.end < at) {
    const end = text.indexOf('\n', counted.end + 1)
    counted.end = end < 0 ? text.length : end
    counted.line += 1
  }
  return counted.line
}

function skipBlanks(reader: Reader): void {
  for (; ; reader.at++) {
    const c = reader.text.charCodeAt(reader.at)
    if (c !== 32 && c !== 10 && c !== 13 && c !== 9) return
  }
}

function found(reader: Reader): string {
  const c = reader.text[reader.at]
  return c === undefined ? 'the file ends too early' : `unexpected ${shown(c)}`
}

function readValue(reader: Reader, path: string): unknown {
  const c = reader.text[reader.at]
  reader.values += 1
  if (reader.values > MAX_VALUES)
    throw new Stop(reader.at, `more than ${MAX_VALUES} values`, `at most ${MAX_VALUES} values in one file`)
  if (c === '{' || c === '[') {
    if (reader.depth >= MAX_DEPTH)
      throw new Stop(reader.at, `nested deeper than ${MAX_DEPTH} levels`, 'the nesting of the contract')
    reader.depth += 1
    const value = c === '{' ? readObject(reader, path) : readArray(reader, path)
    reader.depth -= 1
    return value
  }
  if (c === '"') return readString(reader)
  return readWord(reader)
}

function readObject(reader: Reader, path: string): Record<string, unknown> {
  // No prototype, so that any key is only ever a key.
  const object: Record<string, unknown> = Object.create(null)
  reader.at += 1
  skipBlanks(reader)
  if (reader.text[reader.at] === '}') {
    reader.at += 1
    return object
  }
  for (;;) {
    const keyAt = reader.at
    if (reader.text[keyAt] !== '"') throw new Stop(keyAt, found(reader), 'a key in double quotes')
    const key = readString(reader)
    const keyPath = path === '' ? key : `${path}.${key}`
    const fault = (wrong: string, right: string) =>
      reader.faults.push({ line: lineOf(reader, keyAt), path: keyPath, wrong, right })
    if (key === '__proto__') fault('the key “__proto__” is not allowed', 'a key of the contract')
    else if (Object.hasOwn(object, key)) fault('the key is there twice', 'each key once')
    skipBlanks(reader)
    if (reader.text[reader.at] !== ':') throw new Stop(reader.at, found(reader), 'a colon after the key')
    reader.at += 1
    skipBlanks(reader)
    object[key] = readValue(reader, keyPath)
    if (endOfList(reader, '}')) return object
  }
}

function readArray(reader: Reader, path: string): unknown[] {
  const array: unknown[] = []
  reader.at += 1
  skipBlanks(reader)
  if (reader.text[reader.at] === ']') {
    reader.at += 1
    return array
  }
  for (;;) {
    array.push(readValue(reader, `${path}[${array.length}]`))
    if (endOfList(reader, ']')) return array
  }
}

/** After a member: true at the closing bracket, false after a comma. */
function endOfList(reader: Reader, close: string): boolean {
  skipBlanks(reader)
  const c = reader.text[reader.at]
  if (c !== close && c !== ',') throw new Stop(reader.at, found(reader), `a comma or “${close}”`)
  reader.at += 1
  skipBlanks(reader)
  return c === close
}

function readString(reader: Reader): string {
  const start = reader.at
  let end = start + 1
  for (; ; end++) {
    const c = reader.text.charCodeAt(end)
    if (c === 34) break
    if (c === 92) end += 1
    else if (Number.isNaN(c)) throw new Stop(start, 'a string is not closed', 'a closing double quote')
    else if (c < 32)
      throw new Stop(
        end,
        'a control character or line end within a string',
        'one line of text in double quotes',
      )
  }
  reader.at = end + 1
  try {
    return JSON.parse(reader.text.slice(start, end + 1)) as string
  } catch {
    throw new Stop(start, 'a string with an unknown escape', 'only the escapes of JSON, such as \\" and \\\\')
  }
}

const WORD = /-?[0-9][0-9.eE+-]*|[A-Za-z]+/y

function readWord(reader: Reader): unknown {
  WORD.lastIndex = reader.at
  const word = WORD.exec(reader.text)?.[0]
  if (word === undefined) throw new Stop(reader.at, found(reader), 'a value')
  try {
    const value: unknown = JSON.parse(word)
    reader.at += word.length
    return value
  } catch {
    throw new Stop(
      reader.at,
      `${shown(word)} is no JSON value`,
      'a number, true, false, null or text in double quotes',
    )
  }
}
