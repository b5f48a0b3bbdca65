import { readFileSync } from 'node:fs'
import { WORKS_FILES } from '../../src/works/works-files.ts'

const FOLDER = new URL('../../demo/kelderwick/', import.meta.url)
const BYTES = new Map<string, Uint8Array>(
  WORKS_FILES.map((name) => [name, new Uint8Array(readFileSync(new URL(name, FOLDER)))]),
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
