import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { WORKS_FILES } from '../../src/works/works-files.ts'

// from the project folder: tests and benches run there, compiled or not
const FOLDER = join('demo', 'kelderwick')
const BYTES = new Map<string, Uint8Array>(
  WORKS_FILES.map((name) => [name, new Uint8Array(readFileSync(join(FOLDER, name)))]),
)

/** The files of the demo works, fresh for each caller. */
export function kelderwickFiles(): Map<string, Uint8Array> {
  return new Map(BYTES)
}

export function kelderwickText(name: string): string {
  return new TextDecoder().decode(BYTES.get(name))
}

export function encoded(text: string): Uint8Array {
  return new TextEncoder().encode(text)
}
