import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

const root = rootFrom(new URL('../../', import.meta.url))

export const DEMO_FOLDER = fileURLToPath(new URL('demo/kelderwick', root))
/** The built screens. */
export const SCREENS_FOLDER = fileURLToPath(new URL('dist/web', root))
export const DEFAULT_DATA_FOLDER = fileURLToPath(new URL('.lastmetre', root))

export function productVersion(): string {
  const text = readFileSync(new URL('package.json', root), 'utf8')
  return (JSON.parse(text) as { version: string }).version
}

/** Two folders up, from src/server as from dist/server; further up from where benches are compiled to. */
function rootFrom(folder: URL): URL {
  let at = folder
  while (!existsSync(new URL('package.json', at))) {
    const above = new URL('../', at)
    if (above.href === at.href) throw new Error('package.json is missing')
    at = above
  }
  return at
}
