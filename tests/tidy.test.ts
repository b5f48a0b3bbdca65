import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { basename, dirname, extname, join } from 'node:path'
import ts from 'typescript'
import { describe, expect, it } from 'vitest'

/** What the tools do not check: size of files and functions, names, and what must not be in the project. */

const MAX_FILE_LINES = 400
const MAX_FUNCTION_LINES = 70
const MEDIAN_FILE_BYTES = 5_000

const NOT_OURS = new Set(['node_modules', 'dist', 'out', 'coverage', '.git', '.lastmetre', 'test-results'])
const CODE = new Set(['.ts', '.tsx', '.mjs', '.cjs'])

function filesUnder(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name)
    if (entry.isDirectory()) return NOT_OURS.has(entry.name) ? [] : filesUnder(path)
    return entry.isFile() ? [path] : []
  })
}

const all = filesUnder('.')
const code = ['src', 'tests', 'bench', 'scripts']
  .flatMap((folder) => all.filter((file) => file.startsWith(`${folder}/`)))
  .filter((file) => CODE.has(extname(file)))
const product = code.filter((file) => !file.startsWith('tests/'))
const text = (file: string) => readFileSync(file, 'utf8')

describe('files', () => {
  it('can be read at a sitting', () => {
    const long = code.filter((file) => text(file).split('\n').length - 1 > MAX_FILE_LINES)
    expect(long).toEqual([])
  })

  it('are small, most of them', () => {
    const sizes = code
      .filter((file) => file.startsWith('src/'))
      .map((file) => statSync(file).size)
      .sort((a, b) => a - b)
    expect(sizes[Math.floor(sizes.length / 2)]).toBeLessThan(MEDIAN_FILE_BYTES)
  })

  it('have names in kebab-case', () => {
    const odd = code.filter((file) => !/^[a-z0-9]+(-[a-z0-9]+)*(\.[a-z]+)+$/.test(basename(file)))
    expect(odd).toEqual([])
  })

  it('are no barrels', () => {
    expect(code.filter((file) => /^index\.tsx?$/.test(basename(file)))).toEqual([])
  })
})

describe('functions', () => {
  it('fit a screen', () => {
    const long = product.flatMap((file) => longFunctions(file))
    expect(long).toEqual([])
  })
})

function longFunctions(file: string): string[] {
  const source = ts.createSourceFile(file, text(file), ts.ScriptTarget.Latest, true)
  const found: string[] = []
  const visit = (node: ts.Node): void => {
    if (ts.isFunctionLike(node)) {
      const from = source.getLineAndCharacterOfPosition(node.getStart(source)).line
      const lines = source.getLineAndCharacterOfPosition(node.getEnd()).line - from + 1
      if (lines > MAX_FUNCTION_LINES) found.push(`${file}:${from + 1} (${lines} lines)`)
    }
    ts.forEachChild(node, visit)
  }
  visit(source)
  return found
}

describe('rooms', () => {
  it('each say what they answer', () => {
    const rooms = readdirSync('src', { withFileTypes: true }).filter((entry) => entry.isDirectory())
    expect(rooms.length).toBeGreaterThan(0)
    expect(rooms.map((r) => `src/${r.name}/README.md`).filter((file) => !all.includes(file))).toEqual([])
  })
})

describe('texts', () => {
  it('of a room name only files that are there', () => {
    const stale = all
      .filter((file) => /^src\/[a-z]+\/README\.md$/.test(file))
      .flatMap((file) =>
        [...text(file).matchAll(/`([a-z/-]+\.tsx?)`/g)]
          .map((match) => match[1]!)
          .filter((name) => !existsSync(join(dirname(file), name)) && !existsSync(join('src', name)))
          .map((name) => `${file}: ${name}`),
      )
    expect(stale).toEqual([])
  })

  it('have links that lead somewhere', () => {
    const texts = all.filter((file) => file.endsWith('.md'))
    const broken = texts.flatMap((file) =>
      [...text(file).matchAll(/\]\(([^)#\s]+)/g)]
        .map((match) => match[1]!)
        .filter((link) => !/^[a-z]+:/.test(link) && !existsSync(join(dirname(file), link)))
        .map((link) => `${file}: ${link}`),
    )
    expect(texts.length).toBeGreaterThan(0)
    expect(broken).toEqual([])
  })
})

describe('nothing that does not belong', () => {
  const readable = all.filter((file) => /\.(ts|tsx|mjs|cjs|json|md|css|html|svg|csv|yml)$/.test(file))

  it('names the machine it was written on', () => {
    // written in halves, so that this file does not find itself
    const paths = ['work', 'tmp', 'root', 'home'].map((top) => new RegExp(`(^|[\\s"'\`(=])/${top}/`, 'm'))
    const named = readable.filter((file) => paths.some((path) => path.test(text(file))))
    expect(named).toEqual([])
  })

  it('names a package registry', () => {
    // written in halves, so that this file does not find itself
    const hosts = new RegExp(['regist', 'ry\\.[a-z]|\\.npm', 'js\\.|"resol', 'ved": "http'].join(''))
    const named = readable.filter((file) => hosts.test(text(file)))
    expect(named).toEqual([])
  })

  it('leaves a test out, or all others', () => {
    const left = code
      .filter((file) => /\.(test|spec)\.tsx?$/.test(file) && file !== 'tests/tidy.test.ts')
      .filter((file) => /\.(only|skip|todo|fails)\(/.test(text(file)))
    expect(left).toEqual([])
  })
})
