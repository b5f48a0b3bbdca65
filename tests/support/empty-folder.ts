import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'

/** A folder of its own that is gone after the test. */
export async function emptyFolder(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'lastmetre-'))
  onTestFinished(() => rm(folder, { recursive: true, force: true }))
  return folder
}
