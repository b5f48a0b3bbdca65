import { cp, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { emptyFolder } from './empty-folder.ts'

export const DEMO = fileURLToPath(new URL('../../demo/kelderwick', import.meta.url))

/** A copy of the demo works with some files written over, or (null) left out. */
export async function demoWith(changes: Record<string, string | Uint8Array | null>): Promise<string> {
  const folder = join(await emptyFolder(), 'kelderwick')
  await cp(DEMO, folder, { recursive: true })
  for (const [file, content] of Object.entries(changes)) {
    if (content === null) await rm(join(folder, file))
    else await writeFile(join(folder, file), content)
  }
  return folder
}
