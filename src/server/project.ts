import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

/** Two folders up, from src/server as from dist/server. */
const root = new URL('../../', import.meta.url)

export const DEMO_FOLDER = fileURLToPath(new URL('demo/kelderwick', root))
/** The built screens. */
export const SCREENS_FOLDER = fileURLToPath(new URL('dist/web', root))
export const DEFAULT_DATA_FOLDER = fileURLToPath(new URL('.lastmetre', root))

export function productVersion(): string {
  const text = readFileSync(new URL('package.json', root), 'utf8')
  return (JSON.parse(text) as { version: string }).version
}
