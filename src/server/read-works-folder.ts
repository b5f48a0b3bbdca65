import { constants } from 'node:fs'
import { type FileHandle, open, stat } from 'node:fs/promises'
import { basename, join, resolve } from 'node:path'
import { LastmetreError } from '../quantity/errors.ts'
import type { Problem } from '../works/problem.ts'
import { MAX_FILE_BYTES, WORKS_FILES } from '../works/works-files.ts'

/** The sixteen files of a folder as bytes, and what stands in the way of reading one. */
export interface FolderContent {
  /** Last part of the path: the name of the works folder. */
  name: string
  path: string
  files: Map<string, Uint8Array>
  problems: Problem[]
}

/** Reads the sixteen names of a works folder and nothing else. A missing file is left to the parser to report. */
export async function readWorksFolder(folder: string): Promise<FolderContent> {
  if (folder.trim() === '' || folder.includes('\0')) {
    throw new LastmetreError('folder-missing', 'No works folder is named.')
  }
  const path = resolve(folder)
  const info = await stat(path).catch(() => null)
  if (info === null) throw new LastmetreError('folder-missing', `There is no folder ${path}.`)
  if (!info.isDirectory()) throw new LastmetreError('folder-missing', `${path} is not a folder.`)
  const content: FolderContent = { name: basename(path), path, files: new Map(), problems: [] }
  for (const name of WORKS_FILES) {
    try {
      const bytes = await readRegularFile(join(path, name))
      if (bytes !== null) content.files.set(name, bytes)
    } catch (error) {
      content.problems.push({
        file: name,
        row: null,
        column: null,
        wrong: error instanceof Error ? error.message : String(error),
        right: 'a plain file that this user may read',
      })
    }
  }
  return content
}

/**
 * Bytes of a plain file, null where there is none. Opened before it is looked at, so that it cannot be changed
 * for something else in between; a pipe or device is refused without being read. One byte above the limit is
 * enough for the parser to say that the file is too long.
 */
export async function readRegularFile(path: string): Promise<Uint8Array | null> {
  let handle: FileHandle
  try {
    handle = await open(path, constants.O_RDONLY | constants.O_NOFOLLOW | constants.O_NONBLOCK)
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code === 'ENOENT') return null
    if (code === 'ELOOP') throw new Error('a symbolic link, which is not followed')
    if (code === 'EACCES' || code === 'EPERM') throw new Error('may not be read')
    throw new Error(`cannot be opened (${code ?? 'unknown reason'})`)
  }
  try {
    const info = await handle.stat()
    if (!info.isFile()) throw new Error('not a plain file')
    const bytes = new Uint8Array(Math.min(info.size, MAX_FILE_BYTES + 1))
    let filled = 0
    while (filled < bytes.length) {
      const { bytesRead } = await handle.read(bytes, filled, bytes.length - filled, filled)
      if (bytesRead === 0) break
      filled += bytesRead
    }
    return bytes.subarray(0, filled)
  } finally {
    await handle.close()
  }
}
